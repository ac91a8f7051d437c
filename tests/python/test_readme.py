"""The Python program of the README runs as it stands there."""

import runpy
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def test_the_program_runs(monkeypatch):
    monkeypatch.chdir(ROOT)
    runpy.run_path(str(ROOT / "tests/python/readme.py"))
