"""Units printed as labels, units gone on with in words, and what may be another kind."""

from __future__ import annotations

import pytest

from reconcile import read_text


def test_a_unit_may_be_the_label_of_the_next_number() -> None:
    """In "MP 42.5 RPM 2550" the revolutions are those behind the word."""
    figures = read_text("MP 42.5 RPM 2550 CHT 230", "american").figures
    assert [(float(f.nominal), f.unit) for f in figures] == [
        (42.5, "[in_i'Hg]"),
        (2550.0, "{rev}/min"),
        (230.0, "Cel"),
    ]


_RATES = {
    "each hour": ("Oil 7 pints for each hour flown.", "british", "[pt_br]/h"),
    "hourly": ("She burns 96 gallons hourly.", "british", "[gal_br]/h"),
    "power and hour": ("0.48 lb. for every b.h.p. each hour", "british", "[lb_av]/[HP]/h"),
    "every minute": ("Descend 500 feet every minute.", "british", "[ft_i]/min"),
    "PS-Stunde": ("0,24 kg für die PS-Stunde", "german", "kg/(75.kgf.m/s)/h"),
    "said in Russian": ("расход 300 л каждый час", "soviet", "L/h"),
    "said in French": ("240 litres toutes les heures", "french", "L/h"),
}  # fmt: skip


@pytest.mark.parametrize(("text", "tradition", "unit"), _RATES.values(), ids=_RATES)
def test_rates_are_read_however_said(text: str, tradition: str, unit: str) -> None:
    """What follows a mass, a volume or a height makes it a rate."""
    assert read_text(text, tradition).figures[0].unit == unit


_DOUBTED = {
    "a load among loads": ("Oil 120 lb., fuel 1,440 lb.", 0),
    "a pressure among weights": ("Tyres 52 lb. at 11,200 lb. all-up, 58 lb. at 12,400 lb.", 2),
    "a unit that goes on": ("It weighs 3 oz./furlong", 0),
    "figures torn": ("Oil pressure 85+5 lb.", 0),
    "a range far apart": ("Temps. °C.: oil 40/90, heads 180.", 0),
}


@pytest.mark.parametrize(("text", "at"), _DOUBTED.values(), ids=_DOUBTED)
def test_what_may_be_another_thing_is_doubted(text: str, at: int) -> None:
    """Where the words leave two kinds of quantity open, the figure is not given out as sure."""
    assert read_text(text, "british").figures[at].status != "read"


def test_plus_has_no_weight() -> None:
    """A signed number of pounds is a boost, whatever is said of use."""
    figure = read_text("3,000 r.p.m. and +18 lb. may be used in combat.", "british").figures[1]
    assert (figure.unit, figure.kind) == ("[psi]", "pressure")
