"""Faulty unit tables are refused with file and line."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from reconcile import reference
from reconcile.errors import TableError


@pytest.fixture
def copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A copy of the unit tables that may be spoilt."""
    shutil.copytree(reference.tables_dir() / "units", tmp_path / "units")
    monkeypatch.setattr(reference, "tables_dir", lambda: tmp_path)
    # Reads past the caches, which hold the good tables for everybody else.
    monkeypatch.setattr(reference, "load_schema", reference.load_schema.__wrapped__)
    yield tmp_path / "units" / "units.csv"


def _load() -> object:
    return reference.load_rows.__wrapped__("units/units")


def _swap(old: str, new: str) -> Callable[[str], str]:
    def spoil(text: str) -> str:
        assert old in text
        return text.replace(old, new, 1)

    return spoil


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        (lambda t: t + t.splitlines()[5] + "\n", r"units\.csv, line \d+: .*twice"),
        (_swap("slug,name", "slug,colour,name"), "unknown column 'colour'"),
        (_swap(",printed,", ",", ), "column 'printed' is missing"),
        (_swap("BIPM SI Brochure", ""), r"line 2: '' in column 'source'.*a value, not a blank"),
        (_swap(",98066.5,", ",98066.5 Pa,"), "an exact number such as"),
        (_swap(",conventional,", ",guessed,"), "one of approximate, conventional"),
        (_swap("pascal,pascal,Pa", "Pascal,pascal,Pa"), "text like"),
        (_swap(",pressure,Pa,1000,", ",pressure,Pa,"), r"cells; expected 25"),
    ],
)  # fmt: skip
def test_faults_are_named(copy: Path, spoil: Callable[[str], str], message: str) -> None:
    """Duplicates, blanks, unknown columns, inexact numbers: file, line, what was expected."""
    copy.write_text(spoil(copy.read_text(encoding="utf-8")), encoding="utf-8")
    with pytest.raises(TableError, match=message):
        _load()


def test_the_copy_itself_is_sound(copy: Path) -> None:
    """Unspoilt, the copy loads: the faults above come from the spoiling alone."""
    assert len(_load()) > 300  # type: ignore[arg-type]
