"""The common problem of the peers: a load on four legs under one hook, lengths ±0.5 %, warm start at the nominal hook.

Unknown is the hook h relative to the center of gravity; energy Σ k/2·(l − L)₊² − W·|h|. Every peer does what does well for
general tools: Newton's step with W/|h| added to the diagonal where a leading minor is not positive, at most 0.3·|h| long,
halved while the unbalanced force grows, until it is below 1e-9 W.
"""

import numpy as np

WEIGHT = 1.0e5
POINTS = np.array([[2.1, 1.1, 0.0], [2.1, -1.1, 0.0], [-2.1, -1.1, 0.0], [-2.1, 1.1, 0.0]])
CENTER = np.array([0.3, 0.1, -1.0])
ARMS = POINTS - CENTER
LENGTH = 5.5
TOLERANCE = 1e-9
MOST = 60


def lengths(count, seed=5):
    """Lengths of rows, uniform within ±0.5 %."""
    return LENGTH * (1.0 + 0.005 * np.random.default_rng(seed).uniform(-1.0, 1.0, (count, 4)))


def nominal(relative):
    """The nominal hook, by SciPy."""
    from scipy.optimize import minimize

    stiffness = relative * WEIGHT / LENGTH

    def energy(h):
        e = np.maximum(np.linalg.norm(h - ARMS, axis=1) - LENGTH, 0.0)
        return 0.5 * stiffness * (e * e).sum() / WEIGHT - np.linalg.norm(h)

    found = minimize(energy, [0.0, 0.0, 6.0], method="BFGS", options={"gtol": 1e-10})
    return found.x


def tensions(hooks, lengths, relative):
    """Tensions at hooks, for the comparison."""
    l = np.linalg.norm(hooks[:, None, :] - ARMS, axis=2)
    return relative * WEIGHT / lengths * np.maximum(l - lengths, 0.0)
