"""The types that are declared are the ones that are there."""

import subprocess
import sys
from pathlib import Path

import rigging_py

PACKAGE = Path(rigging_py.__file__).parent
SOURCES = Path(__file__).parent.parent


def run(directory, *arguments):
    command = [sys.executable, "-m", *map(str, arguments)]
    done = subprocess.run(command, cwd=directory, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def test_the_facade_is_strictly_typed(tmp_path):
    # In the sources: errors in an installed package are not shown.
    settings = ["--config-file", SOURCES / "pyproject.toml", "--cache-dir", tmp_path]
    run(SOURCES / "python", "mypy", *settings, "--package", "rigging_py")


def test_the_stub_is_what_the_native_module_holds(tmp_path):
    run(tmp_path, "mypy.stubtest", "rigging_py")


def test_the_package_is_marked_as_typed():
    assert (PACKAGE / "py.typed").exists()
