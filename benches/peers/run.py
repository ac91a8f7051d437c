"""General-purpose libraries on the same work, side by side: `python benches/peers/run.py`.

Wants NumPy, SciPy, Numba and JAX in the interpreter that runs it (`pip install -r benches/peers/requirements.txt` in an
environment of its own), a C++ compiler and the headers of Eigen; says which of them are not there. Every answer is held
against the library's. The library certifies each row to 1e-10 W and says whether it is stable; the peers stop at 1e-9 W
and prove nothing. Times are the least of many rounds on one core, taken in turns, so that other work meets all alike.
"""

import importlib
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))
import model  # noqa: E402

ROOT = Path(__file__).resolve().parents[2]
ROWS = 2048
FEW = 40


def compile_eigen(folder):
    places = [p for p in ("/usr/include/eigen3", "/usr/local/include/eigen3") if Path(p).exists()]
    if not places:
        return None
    program = Path(folder) / "by_eigen"
    source = Path(__file__).with_name("by_eigen.cpp")
    subprocess.run(["c++", "-O3", "-march=native", "-ffast-math", "-I", places[0], source, "-o", program], check=True)
    return program


def timed(solve, start, lengths, relative, rounds):
    hooks = solve(start, lengths, relative)
    least = np.inf
    for _ in range(rounds):
        begin = time.perf_counter()
        hooks = solve(start, lengths, relative)
        least = min(least, time.perf_counter() - begin)
    return least * 1e9 / len(lengths), hooks


def main():
    peers = {}
    for name, module in (("Numba", "by_numba"), ("JAX", "by_jax"), ("NumPy", "by_numpy"), ("SciPy trust-exact", "by_scipy")):
        try:
            peers[name] = importlib.import_module(module).solve
        except ImportError as error:
            print(f"{name}: not there ({error})")
    with tempfile.TemporaryDirectory() as folder:
        folder = Path(folder)
        eigen = compile_eigen(folder)
        if eigen is None:
            print("Eigen: not there (no headers)")
        print(f"{'ns a row and core':<22}" + "".join(f"{'EA/W ' + str(r):>18}" for r in (20, 200, 1000)))
        lines = {}
        for relative in (20, 200, 1000):
            start, lengths = model.nominal(relative), model.lengths(ROWS)
            lengths.tofile(folder / "lengths")
            np.concatenate([start, lengths.ravel()]).tofile(folder / "rows")

            def own():
                command = ["cargo", "bench", "--quiet", "-p", "rigging-benches", "--bench", "nearby", "--", "rows"]
                command += [folder / "lengths", folder / "tensions", str(relative)]
                said = subprocess.run(command, cwd=ROOT, check=True, capture_output=True, text=True).stdout.split()
                return float(said[0]), said[1], float(said[2])

            times, level, peak = own()
            expected = np.fromfile(folder / "tensions").reshape(-1, 4)
            found = {}
            if eigen is not None:
                command = [eigen, folder / "rows", folder / "hooks", str(relative)]
                took = float(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
                found["Eigen loop"] = took, np.fromfile(folder / "hooks").reshape(-1, 3), lengths
            for name, solve in peers.items():
                some = lengths[:FEW] if name.startswith("SciPy") else lengths
                took, hooks = timed(solve, start, some, relative, 5 if name.startswith("SciPy") else 60)
                found[name] = took, hooks, some
            times = min(times, own()[0])
            lines.setdefault(f"this library ({level})", []).append((times, 1.0, 0))
            for name, (took, hooks, some) in found.items():
                apart = np.abs(model.tensions(hooks, some, relative) - expected[: len(some)]).max(1) / model.WEIGHT
                lines.setdefault(name, []).append((took, took / times, int((apart > 1e-5).sum())))
        for name, cells in lines.items():
            print(f"{name:<22}" + "".join(f"{took:>9.0f} ({ratio:>5.1f}×)" for took, ratio, _ in cells), end="")
            wrong = [str(w) for _, _, w in cells]
            print("" if name.startswith("this") else f"   wrong or unfinished rows: {', '.join(wrong)}")
        print(f"measured peak of one core: {peak:.1f} GF/s")


if __name__ == "__main__":
    main()
