"""Checks equilibria from their systems and certificates alone, with NumPy only and no code of the library.

`verify_certificate.py FILE`: one JSON object {"system": ..., "certificate": ...} on each line; prints for each line its number
and "verified" or what is wrong. The Hessian is the change of the loads with every displacement and turn, by differences along
the imaginary axis, which lose no digits; the turn about the plumb line below a single hook is projected out of it.
"""
import json, sys
import numpy as np

EPS = 2.0**-52

def rotation(quaternion):
    x, y, z, w = np.array(quaternion) / np.linalg.norm(quaternion)
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.eye(3) + 2 * w * cross + 2 * cross @ cross

def tension(law, strain, near):
    """Tension of a taut member, on the branch of its law on which the real strain `near` lies."""
    (data,) = law.values()
    if "points" not in data:
        return np.polynomial.Polynomial([0, *data.get("coefficients", [data.get("ea")])])(strain)
    points = [(0, 0), *data["points"]]
    (e0, t0), (e1, t1) = next((p for p in zip(points, points[1:]) if near <= p[1][0]), points[-2:])
    return t0 + (t1 - t0) / (e1 - e0) * (strain - e0)

def verify(system, certificate):
    hooks, joints, bodies, poses, checks = *(system[key] for key in ("hooks", "joints", "bodies")), certificate["bodies"], []
    first = {"hook": 0, "joint": len(hooks), "body": len(hooks) + len(joints)}
    turned, weight = [rotation(pose["rotation"]) for pose in poses], sum(body["mass"] for body in bodies) * system["gravity"]
    places = np.array([*(h["position"] for h in hooks), *certificate["joints"], *(p["center_of_gravity"] for p in poses)])
    arms = [[R @ np.subtract(p, b["center_of_gravity"]) for p in b["points"]] for R, b in zip(turned, bodies)]
    size = 1 + abs(places).max() + max(np.linalg.norm(p) for b in bodies for p in [*b["points"], b["center_of_gravity"]])
    allowed = 1.1e-10 * weight + 64 * EPS * sum(state["tension"] for state in certificate["members"])
    def pull(m, force, x):
        """What a member does to its unknowns, for displacements and turns of all nodes in each row of `x`."""
        feet, load = [], np.zeros(x.shape, complex)
        for (kind, i), in (m["a"].items(), m["b"].items()):
            node, arm = (i["body"], arms[i["body"]][i["point"]]) if kind == "body" else (i, np.zeros(3))
            k = 6 * (first[kind] + node)
            feet.append((k, places[k // 6] + x[:, k:k+3] + arm + np.cross(x[:, k+3:k+6], arm), arm))
        length = np.sqrt(((feet[0][1] - feet[1][1]) ** 2).sum(1))
        for (k, _, arm), sign in zip(feet, (-1, 1)):
            load[:, k:k+3] = (sign * force(length) / length)[:, None] * (feet[0][1] - feet[1][1])
            load[:, k+3:k+6] = np.cross(arm + np.cross(x[:, k+3:k+6], arm), load[:, k:k+3])
        return load, length[0].real, np.r_[feet[0][0]:feet[0][0] + 6, feet[1][0]:feet[1][0] + 6]
    left, H = np.zeros((len(places), 6)), np.zeros((6 * len(places),) * 2)
    left[:len(hooks), :3], left[first["body"]:, 2] = np.negative(certificate["hooks"]), [-b["mass"] * system["gravity"] for b in bodies]
    for m, state in zip(system["members"], certificate["members"], strict=True):
        T, e, L, law = state["tension"], state["strain"], m["length"], m["law"]
        load, length, own = pull(m, lambda length: T + 0 * length, np.zeros((1, H.shape[0])))
        left += load[0].real.reshape(-1, 6)
        checks.append((f"strain {e}, in the pose {(length - L) / L}", abs((length - L) / L - e) <= 64 * EPS * size / L))
        checks.append((f"slack {state['slack']} at strain {e}", state["slack"] == (e <= 0)))
        checks.append((f"tension {T} at strain {e}", T == 0 if e <= 0 else T > 0 and abs(T - tension(law, e, e)) <= 1e-12 * T))
        taut = pull(m, lambda length: tension(law, (length - L) / L, e), 1e-40j * np.eye(H.shape[0])[own])[0]
        H[own] -= (T > allowed) * taut.imag / 1e-40
    checks.append((f"{abs(left).max()} N or N·m left", abs(left / ([1] * 3 + [size] * 3)).max() <= allowed))
    checks.append(("residuals told", max(certificate["residual"], certificate["residual_moment"] / size) <= allowed))
    keep = [6 * i + k for i in range(len(hooks), len(places)) for k in range(3 if i < first["body"] else 6)]
    scale = np.tile([1, 1, 1, 1 / size, 1 / size, 1 / size], len(places))[keep] * (size / weight) ** 0.5
    H, free, (x, y, z) = (H + H.T)[np.ix_(keep, keep)] / 2 * np.outer(scale, scale), len(hooks) == 1, (places - places[0]).T
    # Under one hook, the turn about the plumb line costs nothing; it is made stiff.
    q = np.stack([-y, x, 0 * z, 0 * z, 0 * z, 0 * z + 1], 1).ravel()[keep] / scale / size
    count, null, state = (certificate[key] for key in ("negative_modes", "null_modes", "state"))
    values, doubt = np.linalg.eigvalsh(H + free * np.outer(q, q) / (q @ q)), 1e-9 + 16 * EPS * np.linalg.norm(H)
    over = any((r @ rotation(body["rotation"]).T)[2, 2] <= 0 for r, body in zip(turned, bodies))
    checks.append((f"{count} negative modes", (values < -doubt).sum() <= count <= (values <= doubt).sum()))
    checks.append((f"{null} null modes", (abs(values) <= 1e-12).sum() <= null - free <= (values <= max(doubt, 1e-4)).sum()))
    checks.append((f"state {state}", (state == "lost") == over and (over or (state == "unstable") == (count > 0))))
    return next((reason for reason, holds in checks if not holds), "verified")

if __name__ == "__main__":
    for number, line in enumerate(open(sys.argv[1], encoding="utf-8")):
        print(number, verify(**json.loads(line)))
