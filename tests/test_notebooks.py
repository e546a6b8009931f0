"""The notebooks run from top to bottom on the demo."""

from __future__ import annotations

import os
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

NOTEBOOKS = sorted((Path(__file__).parent.parent / "notebooks").glob("*.ipynb"))


def test_there_are_three() -> None:
    """One for each of the people the tool is for."""
    assert [p.stem for p in NOTEBOOKS] == ["engineer", "historian", "restorer"]


@pytest.mark.filterwarnings("ignore::DeprecationWarning", "ignore::FutureWarning")
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_a_notebook_runs(path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Each cell runs without an error, and the notebook is kept without outputs."""
    monkeypatch.setenv("MPLBACKEND", "agg")
    monkeypatch.setenv("IPYTHONDIR", str(tmp_path))
    book = nbformat.read(path, as_version=4)
    assert all(not cell.get("outputs") for cell in book.cells)
    NotebookClient(
        book,
        timeout=120,
        kernel_name="python3",
        resources={"metadata": {"path": os.fspath(tmp_path)}},
    ).execute()
