"""Candidates of doubtful figures: what else they may be, and how likely."""

from __future__ import annotations

import pytest

from reconcile.reading import read_text
from reconcile.records import Figure


def doubtful(text: str, tradition: str = "british") -> Figure:
    """The one ambiguous figure of `text`."""
    [found] = [f for f in read_text(text, tradition).figures if f.status == "ambiguous"]
    return found


def readings(figure: Figure) -> list[tuple[object, str, str]]:
    """Number, unit and form of each candidate."""
    return [(c.quantity.nominal, c.quantity.unit, c.quantity.form) for c in figure.candidates]


CASES = {
    "The pump shuts off at 500 lb./sq. in.": [
        (500, "[psi]", "gauge"), (500, "[psi]", "absolute"),
    ],
    "Coolant 60°C., oil +150C.": [(15, "Cel", "none"), (150, "Cel", "none")],
    "Set the quadrant to 45° and lock it.": [
        (45, "Cel", "none"), (45, "[degF]", "none"), (45, "deg", "none"),
    ],
    "Gauge          Reading\nOil inlet      80\nR.p.m.         2,600": [
        (80, "Cel", "none"), (80, "[degF]", "none"),
    ],
}  # fmt: skip


@pytest.mark.parametrize("text", CASES)
def test_candidates(text: str) -> None:
    """A doubtful figure lists its readings, the one given out first where it is one of them."""
    assert readings(doubtful(text)) == CASES[text]


@pytest.mark.parametrize("text", CASES)
def test_odds_add_up(text: str) -> None:
    """Odds are of one whole, fall from first to last, and each has its reason."""
    candidates = doubtful(text).candidates
    odds = [c.odds for c in candidates]
    assert sum(odds) == pytest.approx(1.0)
    assert odds == sorted(odds, reverse=True)
    assert len({c.reason for c in candidates}) == len(candidates)


def test_plain_figures_have_none() -> None:
    """A figure plainly read has no rivals."""
    figures = read_text("Oil pressure 80 lb./sq. in. at 60°C.", "british").figures
    assert [f.candidates for f in figures] == [(), ()]


def test_lone_atmosphere_of_a_translation() -> None:
    """ "atm" in a translated paper may be an absolute or a gauge atmosphere."""
    figure = doubtful("Le moteur reçoit 1,67 atm au décollage.", "french")
    assert {c.quantity.form for c in figure.candidates} >= {"absolute"}
    assert len(figure.candidates) == 2
