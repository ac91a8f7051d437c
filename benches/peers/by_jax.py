"""JAX: one row as a function, differentiated and mapped over rows by the library, compiled for one core."""

import os

os.environ.setdefault("XLA_FLAGS", "--xla_cpu_multi_thread_eigen=false intra_op_parallelism_threads=1")
import jax
import jax.numpy as jnp
import numpy as np

jax.config.update("jax_enable_x64", True)
from model import ARMS, MOST, TOLERANCE, WEIGHT  # noqa: E402

arms = jnp.asarray(ARMS)


def gradient(h, L, k):
    r = h - arms
    l = jnp.sqrt((r * r).sum(1))
    return ((k * jnp.maximum(l - L, 0.0) / l)[:, None] * r).sum(0) - WEIGHT * h / jnp.sqrt(h @ h)


def row(start, L, relative):
    k = relative * WEIGHT / L

    def step(state):
        h, g, count = state
        d = jnp.sqrt(h @ h)
        H = jax.jacfwd(gradient)(h, L, k)
        minors = jnp.array([H[0, 0], H[0, 0] * H[1, 1] - H[0, 1] ** 2, jnp.linalg.det(H)])
        H = H + jnp.where((minors > 0).all(), 0.0, WEIGHT / d) * jnp.eye(3)
        a, b, c, e, f, p = H[0, 0], H[0, 1], H[0, 2], H[1, 1], H[1, 2], H[2, 2]
        inverse = jnp.array(
            [[e * p - f * f, c * f - b * p, b * f - c * e], [c * f - b * p, a * p - c * c, b * c - a * f], [b * f - c * e, b * c - a * f, a * e - b * b]]
        )
        s = -(inverse @ g) / (a * inverse[0, 0] + b * inverse[0, 1] + c * inverse[0, 2])
        s = s * jnp.minimum(1.0, 0.3 * d / jnp.sqrt(s @ s))
        shares = jnp.array([1.0, 0.5, 0.25])
        trials = jax.vmap(lambda share: gradient(h + share * s, L, k))(shares)
        sizes = (trials * trials).sum(1)
        best = jnp.where(sizes[0] <= g @ g, 0, jnp.where(sizes[1] <= g @ g, 1, 2))
        return h + shares[best] * s, trials[best], count + 1

    def going(state):
        return (state[1] @ state[1] > (TOLERANCE * WEIGHT) ** 2) & (state[2] < MOST)

    return jax.lax.while_loop(going, step, (start, gradient(start, L, k), 0))[0]


compiled = jax.jit(jax.vmap(row, in_axes=(None, 0, None)))


def solve(start, lengths, relative):
    return np.asarray(compiled(jnp.asarray(start), jnp.asarray(lengths), float(relative)))
