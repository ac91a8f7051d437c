"""Every notebook runs from top to bottom; the assertions inside are its answers."""

from pathlib import Path

import nbclient
import nbformat
import pytest

NOTEBOOKS = sorted((Path(__file__).resolve().parents[2] / "notebooks").glob("*.ipynb"))


def test_they_are_found():
    print(f"{len(NOTEBOOKS)} notebooks, 0 skipped")
    assert len(NOTEBOOKS) == 7


@pytest.mark.filterwarnings("ignore")  # those of the notebook machinery; what runs inside has a process of its own
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_runs(path):
    notebook = nbformat.read(path, as_version=4)
    code = [cell for cell in notebook.cells if cell.cell_type == "code"]
    assert all(not cell.outputs and cell.execution_count is None for cell in code), "commit without outputs"
    assert any("assert " in cell.source for cell in code)
    where = {"metadata": {"path": path.parent}}
    nbclient.NotebookClient(notebook, timeout=300, kernel_name="python3", resources=where).execute()
    assert all(cell.execution_count for cell in code)
