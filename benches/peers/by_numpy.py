"""Batched NumPy: all rows at once, finished ones left out of the next pass."""

import numpy as np

from model import ARMS, MOST, TOLERANCE, WEIGHT


def forces(h, L, k):
    r = h[:, None, :] - ARMS
    l = np.sqrt((r * r).sum(2))
    u = r / l[:, :, None]
    t = k * np.maximum(l - L, 0.0)
    d = np.sqrt((h * h).sum(1))
    g = (t[:, :, None] * u).sum(1) - WEIGHT * h / d[:, None]
    return g, l, u, t, d


def solve(start, lengths, relative):
    hooks = np.tile(start, (len(lengths), 1))
    rows = np.arange(len(lengths))
    eye = np.eye(3)
    for _ in range(MOST):
        h, L = hooks[rows], lengths[rows]
        k = relative * WEIGHT / L
        g, l, u, t, d = forces(h, L, k)
        size = np.sqrt((g * g).sum(1))
        keep = size > TOLERANCE * WEIGHT
        if not keep.any():
            break
        rows, h, L, k, g, l, u, t, d, size = (x[keep] for x in (rows, h, L, k, g, l, u, t, d, size))
        n = h / d[:, None]
        soft = WEIGHT / d
        w = np.where(t > 0, k - t / l, 0.0)
        H = np.einsum("ij,ijk,ijl->ikl", w, u, u) + soft[:, None, None] * n[:, :, None] * n[:, None, :]
        H += ((t / l).sum(1) - soft)[:, None, None] * eye
        minor = H[:, 0, 0] * H[:, 1, 1] - H[:, 0, 1] ** 2
        bad = (H[:, 0, 0] <= 0) | (minor <= 0) | (np.linalg.det(H) <= 0)
        H += (bad * soft)[:, None, None] * eye
        step = -np.linalg.solve(H, g[:, :, None])[:, :, 0]
        length = np.sqrt((step * step).sum(1))
        step *= np.minimum(1.0, 0.3 * d / length)[:, None]
        share = np.ones(len(rows))
        for _ in range(4):
            worse = np.sqrt((forces(h + share[:, None] * step, L, k)[0] ** 2).sum(1)) > size
            if not worse.any():
                break
            share[worse] *= 0.5
        hooks[rows] = h + share[:, None] * step
    return hooks
