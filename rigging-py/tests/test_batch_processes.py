"""Threads of a batch live for the call: processes may be made in every way, before, after and meanwhile."""

import subprocess
import sys
import threading

import numpy as np
import pytest

from rigging_py import InconsistentError, _native, batch

# Enough rows for several threads, asked for by number so that one core does as well.
SCRIPT = """
import hashlib, multiprocessing, os, sys, threading
import numpy as np
from rigging_py import batch

def work(_):
    random = np.random.default_rng(1)
    result = batch.bridle(
        weight_n=random.uniform(5e4, 2e5, 3000), center_m=[0.45, -0.12, 0.9],
        points_m=[[2.6, 1.05, 0.0], [2.6, -1.05, 0.0], [-2.6, -1.05, 0.0], [-2.6, 1.05, 0.0]],
        lengths_m=[6.0] * 4, ea_n=[6e6] * 4, threads=4)
    result.raise_if_any()
    return hashlib.sha256(result.tension_n.tobytes()).hexdigest()

def forked():
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        os.write(writer, work(0).encode())
        os._exit(0)
    assert os.waitpid(child, 0)[1] == 0
    return os.read(reader, 64).decode()

def meanwhile():
    stop = threading.Event()
    def busy():
        while not stop.is_set():
            work(0)
    other = threading.Thread(target=busy)
    other.start()
    try:
        return [forked() for _ in range(5)]
    finally:
        stop.set()
        other.join()

if __name__ == "__main__":
    way = sys.argv[1]
    found = [work(0)]
    if way == "os.fork":
        found += [forked(), forked(), work(0)]
    elif way == "os.fork meanwhile":
        found += meanwhile()
    else:
        with multiprocessing.get_context(way).Pool(2) as pool:
            found += pool.map(work, range(6), chunksize=1)
        found.append(work(0))
    assert len(set(found)) == 1, found
    print(len(found))
"""
EXPECTED = {"fork": 8, "spawn": 8, "forkserver": 8, "os.fork": 4, "os.fork meanwhile": 6}
# A hang is what is looked for; nothing is timed.
HANGS_AFTER_S = 180


@pytest.mark.parametrize("way", EXPECTED)
def test_processes_made_in_every_way(way, tmp_path):
    script = tmp_path / "work.py"
    script.write_text(SCRIPT, encoding="utf-8")
    # Python warns of forks beside threads; that this one is safe is the subject.
    command = [sys.executable, "-W", "ignore", str(script), way]
    done = subprocess.run(command, capture_output=True, text=True, timeout=HANGS_AFTER_S, check=False)
    assert done.returncode == 0, done.stderr
    assert int(done.stdout) == EXPECTED[way]


def test_other_threads_run_meanwhile():
    count = 2000
    weight, center = np.full(count, 1e5), np.tile([0.1, 0.1, -1.0], count)
    points = np.tile([2.6, 1.05, 0.0, 2.6, -1.05, 0.0, -2.6, -1.05, 0.0, -2.6, 1.05, 0.0], count)
    inputs = weight, center, points, np.full(4 * count, 6.0), np.full(4 * count, 6e6)
    outputs = np.empty(4 * count), np.empty(count), np.empty(count, np.int32), np.empty(count, np.int32)
    ready, ran = threading.Event(), []

    def other():
        ready.wait()
        ran.append(True)

    thread = threading.Thread(target=other)
    # From here on no thread is made to give up the lock of the interpreter: it goes round only where it is released.
    interval = sys.getswitchinterval()
    sys.setswitchinterval(3600.0)
    try:
        thread.start()
        ready.set()
        assert not ran
        for _ in range(1000):
            _native._bridle(*inputs, *outputs, 4, 1)
            if ran:
                break
        assert ran, "the lock was held during a thousand calls"
    finally:
        sys.setswitchinterval(interval)
        thread.join()


def test_threads_share_arrays():
    weights = np.linspace(5e4, 2e5, 3000)
    rows = {
        "weight_n": weights,
        "center_m": [0.45, -0.12, 0.9],
        "points_m": [[2.6, 1.05, 0.0], [2.6, -1.05, 0.0], [-2.6, -1.05, 0.0], [-2.6, 1.05, 0.0]],
        "lengths_m": [6.0] * 4,
        "ea_n": [6e6] * 4,
    }
    found = []
    threads = [threading.Thread(target=lambda: found.append(batch.bridle(**rows).tension_n.tobytes())) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(found) == 4 and len(set(found)) == 1


def test_the_native_functions_refuse_arrays_that_overlap_or_cannot_be_written():
    values, status = np.ones(4), np.empty(4, np.int32)
    read_only = np.ones(4)
    read_only.flags.writeable = False
    for inputs, output in ((values, values), (values[:2], values[1:3]), (np.ones(4), read_only), (np.ones(8)[::2], values)):
        with pytest.raises(ValueError, match="array"):
            _native._basket_tension(inputs, np.zeros(len(inputs)), output, status[: len(inputs)])
    with pytest.raises(InconsistentError):
        _native._basket_tension(np.ones(3), np.ones(4), np.empty(4), status)
    for wrong in (np.ones(4, np.float32), np.ones(4, complex), np.ones(4, ">f8"), b"12345678", [1.0]):
        with pytest.raises((BufferError, TypeError)):
            _native._basket_tension(wrong, np.ones(4), np.empty(4), status)
