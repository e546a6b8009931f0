"""Tables by height: boost against the air, power and climb above full-throttle height."""

from __future__ import annotations

import pytest

from reconcile.checks import check
from reconcile.measure.atmosphere import isa
from tests.checks.test_checks import Paper

FEET = (5000, 10000, 15000, 20000, 25000)


def table(boost=(), power=(), climb=(), heights=FEET, planted=None):
    """A performance table; `planted` maps a column to {row: value}."""
    planted = planted or {}
    columns = {
        "boost": (boost, "[psi]", "pressure", "boost", "fixed_datum"),
        "power": (power, "[HP]", "power", "power", "none"),
        "climb": (climb, "[ft_i]/min", "speed", "rate of climb", "none"),
    }
    paper = Paper()
    for at, feet in enumerate(heights):
        place = {"row": (str(feet),)}
        paper.add(feet, "[ft_i]", "altitude", "altitude", column=("Height",), **place)
        for name, (values, unit, kind, parameter, form) in columns.items():
            if values:
                value = planted.get(name, {}).get(at, values[at])
                paper.add(value, unit, kind, parameter, bound="nominal", form=form, place="0.01",
                          column=(name,), same_line=True, **place)  # fmt: skip
    return check([paper.witness], only=["heights"])


def power_at(feet, full=1200.0, base=10000):
    """Gagg and Farrar 1934: power above full-throttle height, by the ratio of densities."""
    ratio = isa(feet * 0.3048).density / isa(base * 0.3048).density
    return round(full * (ratio - 0.132) / 0.868)


BOOST = (9, 9, 4.7, 1.1, -2.0)
POWER = (1150, 1200, power_at(15000), power_at(20000), power_at(25000))
CLIMB = (2100, 2000, 1500, 980, 450)


def test_a_sound_table_raises_no_doubt():
    """Boost falling with the air, power after Gagg and Farrar, and a falling climb are sound."""
    assert table(BOOST, POWER, CLIMB) == []


def test_power_that_does_not_follow_the_air():
    """A misread digit in a power above full-throttle height is found and mended."""
    good = POWER[3]
    wrong = int("1" + str(good)) if good < 1000 else good - 1000
    [finding] = table(BOOST, POWER, CLIMB, planted={"power": {3: wrong}})
    assert finding.verdict == "in doubt"
    assert "full-throttle" in finding.evidence
    assert finding.seen.startswith(str(wrong))


def test_a_climb_that_improves_above_full_throttle_height():
    """980 misprinted 1,980 exceeds the climb of the row below."""
    findings = table(BOOST, POWER, CLIMB, planted={"climb": {3: 1980}})
    assert [f.seen.split()[0] for f in findings] == ["1980"]
    assert findings[0].emendations


def test_an_unsupercharged_engine_holds_no_more_than_the_air():
    """Static boost: at 10,000 ft the air is -4.6 lb/sq.in., so -1 is more than there is."""
    boosts = tuple(
        round((isa(feet * 0.3048).pressure - 101325) / 6894.757293 - 0.2, 1)
        for feet in (0, 5000, 10000, 15000)
    )
    heights = (0, 5000, 10000, 15000)
    assert table(boosts, heights=heights) == []
    [finding] = table(boosts, heights=heights, planted={"boost": {2: -1}})
    assert "without a supercharger" in finding.evidence
    assert any("static boost" in step for step in finding.steps)


@pytest.mark.parametrize("feet", [20000, 30000])
def test_a_boost_no_supercharger_gives(feet):
    """Eight times the air around is more than two stages give."""
    boost = 9 * isa(feet * 0.3048).pressure / 6894.757293 - 14.7
    heights = (5000, 10000, feet)
    findings = table((9, 9, round(boost)), heights=heights)
    assert [f.check for f in findings] == ["heights"]


def test_too_few_rows_or_two_ratings_are_left_alone():
    """Two rows are no run, and a row with two powers belongs to two ratings."""
    assert table(BOOST[:2], POWER[:2], CLIMB[:2], heights=FEET[:2]) == []
