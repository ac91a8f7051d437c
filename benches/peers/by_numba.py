"""Numba: a compiled loop over rows, one core, fast mathematics."""

import numpy as np
from numba import njit

from model import ARMS, MOST, TOLERANCE, WEIGHT


@njit(fastmath=True, cache=False)
def gradient(x, y, z, L, k, arms):
    d = np.sqrt(x * x + y * y + z * z)
    gx, gy, gz = -WEIGHT * x / d, -WEIGHT * y / d, -WEIGHT * z / d
    for j in range(4):
        rx, ry, rz = x - arms[j, 0], y - arms[j, 1], z - arms[j, 2]
        l = np.sqrt(rx * rx + ry * ry + rz * rz)
        if l > L[j]:
            f = k[j] * (l - L[j]) / l
            gx, gy, gz = gx + f * rx, gy + f * ry, gz + f * rz
    return gx, gy, gz


@njit(fastmath=True, cache=False)
def loop(start, lengths, relative, arms, hooks):
    k = np.empty(4)
    for i in range(len(lengths)):
        L = lengths[i]
        for j in range(4):
            k[j] = relative * WEIGHT / L[j]
        x, y, z = start[0], start[1], start[2]
        for _ in range(MOST):
            d = np.sqrt(x * x + y * y + z * z)
            nx, ny, nz = x / d, y / d, z / d
            soft = WEIGHT / d
            gx, gy, gz = -WEIGHT * nx, -WEIGHT * ny, -WEIGHT * nz
            a, b, c = soft * nx * nx, soft * nx * ny, soft * nx * nz
            e, f, p = soft * ny * ny, soft * ny * nz, soft * nz * nz
            total = -soft
            for j in range(4):
                rx, ry, rz = x - arms[j, 0], y - arms[j, 1], z - arms[j, 2]
                l = np.sqrt(rx * rx + ry * ry + rz * rz)
                if l > L[j]:
                    t = k[j] * (l - L[j])
                    q = t / l
                    gx, gy, gz = gx + q * rx, gy + q * ry, gz + q * rz
                    w = (k[j] - q) / (l * l)
                    a, b, c = a + w * rx * rx, b + w * rx * ry, c + w * rx * rz
                    e, f, p = e + w * ry * ry, f + w * ry * rz, p + w * rz * rz
                    total += q
            size = gx * gx + gy * gy + gz * gz
            if size <= (TOLERANCE * WEIGHT) ** 2:
                break
            a, e, p = a + total, e + total, p + total
            for _ in range(2):
                A, B, C = e * p - f * f, c * f - b * p, b * f - c * e
                E, F, P = a * p - c * c, b * c - a * f, a * e - b * b
                det = a * A + b * B + c * C
                if a > 0 and P > 0 and det > 0:
                    break
                a, e, p = a + soft, e + soft, p + soft
            sx = -(A * gx + B * gy + C * gz) / det
            sy = -(B * gx + E * gy + F * gz) / det
            sz = -(C * gx + F * gy + P * gz) / det
            share = min(1.0, 0.3 * d / np.sqrt(sx * sx + sy * sy + sz * sz))
            for _ in range(5):
                hx, hy, hz = gradient(x + share * sx, y + share * sy, z + share * sz, L, k, arms)
                if hx * hx + hy * hy + hz * hz <= size:
                    break
                share *= 0.5
            x, y, z = x + share * sx, y + share * sy, z + share * sz
        hooks[i, 0], hooks[i, 1], hooks[i, 2] = x, y, z


def solve(start, lengths, relative):
    hooks = np.empty((len(lengths), 3))
    loop(start, lengths, float(relative), ARMS, hooks)
    return hooks
