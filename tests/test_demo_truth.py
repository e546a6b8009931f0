"""Every figure of the demo against its truth: right or marked, none wrong in silence."""

from __future__ import annotations

import importlib.util
import sys
from functools import cache
from pathlib import Path
from types import ModuleType

import pytest

from reconcile.dossier import open_dossier
from reconcile.records import Witness
from reconcile.reference import tables_dir

SOURCES = {
    # Least share of figures right, greatest share marked (repaired, ambiguous or unread and
    # not as the truth has them). The faults planted in the demo account for the marks, and
    # pressures whose zero the text leaves open.
    "handbook-first-edition.pdf": (0.99, 0.01),
    "handbook-second-edition.pdf": (0.985, 0.015),
    "typed-transcription.txt": (0.99, 0.01),
    "read-aloud.txt": (0.95, 0.05),
    "read-aloud.srt": (0.95, 0.05),
    "read-aloud.vtt": (0.95, 0.05),
    "foreign-report.md": (0.96, 0.04),
    "performance.csv": (1.0, 0.0),
}
DEMO = tables_dir() / "demo"


def _load() -> ModuleType:
    """The script that prints the account, beside this file."""
    path = Path(__file__).with_name("demo_truth.py")
    spec = importlib.util.spec_from_file_location("demo_truth_script", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their module up
    spec.loader.exec_module(module)
    return module


truth = _load()


@cache
def witness_of(name: str) -> Witness:
    """One source of the demo, read once."""
    for entry, witness in open_dossier(DEMO).witnesses():
        if Path(entry.file).name == name and isinstance(witness, Witness):
            return witness
    raise AssertionError(f"{name} is not a source of the demo")


@cache
def account_of(name: str):  # type: ignore[no-untyped-def]
    """How its figures came out."""
    return truth.account(witness_of(name))


def rows_of(name: str) -> list[dict[str, str]]:
    """Truth of one source."""
    return [row for row in truth.truth_rows() if row["source"] == name]


def test_every_source_has_a_truth() -> None:
    """The sources named here are those of the truth, and each has figures."""
    assert {row["source"] for row in truth.truth_rows()} == set(SOURCES)
    assert all(len(rows_of(name)) >= 30 for name in SOURCES)


@pytest.mark.parametrize("name", SOURCES)
def test_no_silent_wrong_value(name: str) -> None:
    """No figure given out as plainly read differs from what stands in the source."""
    assert account_of(name).silent == []


@pytest.mark.parametrize("name", SOURCES)
def test_no_figure_invented(name: str) -> None:
    """Nothing is given out as a figure, plainly or in doubt, that is none."""
    account = account_of(name)
    assert account.extra == []
    assert account.doubted == []


@pytest.mark.parametrize("name", SOURCES)
def test_every_figure_accounted_for(name: str) -> None:
    """Every figure of the truth is among those read: right, or marked as doubtful."""
    account = account_of(name)
    assert account.missing == []
    assert account.right + account.marked == len(rows_of(name))


@pytest.mark.parametrize("name", SOURCES)
def test_marks_are_few(name: str) -> None:
    """Doubt is not used as a way out: nearly all figures come out right."""
    account = account_of(name)
    count = len(rows_of(name))
    least_right, most_marked = SOURCES[name]
    assert account.right >= least_right * count
    assert account.marked <= most_marked * count


@pytest.mark.parametrize("name", SOURCES)
def test_few_figures_are_doubted(name: str) -> None:
    """Right figures are hardly ever put in doubt: at most one in ten is not plainly read."""
    figures = witness_of(name).figures.values()
    doubted = [figure for figure in figures if figure.status != "read"]
    assert len(doubted) <= 0.1 * len(figures)
    assert all(figure.repairs for figure in doubted)


def test_account_sees_a_wrong_value() -> None:
    """The account itself notices: a figure moved by one unit is a silent wrong value."""
    from dataclasses import replace

    name = "performance.csv"
    witness = witness_of(name)
    key, figure = next(
        (k, f) for k, f in witness.figures.items() if f.nominal is not None and f.status == "read"
    )
    wrong = replace(figure.quantity, nominal=figure.quantity.nominal + 1)
    figures = {**witness.figures, key: replace(figure, quantity=wrong)}
    account = truth.account(replace(witness, figures=figures))
    assert len(account.silent) == 1
    assert account.right == account_of(name).right - 1
