"""Conditions that hold for more figures than the one beside, and for which they do not hold."""

from __future__ import annotations

import pytest

from reconcile import read_text

_CONDITIONS = {
    "joined by nor": (
        "Oil not above 95° C. nor pressure under 75 lb. on the climb.", ["climb", "climb"]
    ),
    "heading of a paragraph": (
        "DIVING. Not over 3,150 r.p.m. Open at 5,000 ft. at 420 knots.", ["dive", "dive", "dive"]
    ),
    "an earlier figure's": (
        "Oil 65 lb. when cruising, and never below 50 lb.", ["cruise", None]
    ),
    "of several": ("Revs: idle 600, cruise 1,900, never over 2,500", ["idling", "cruise", None]),
    "brackets behind": (
        "Tyres 45 lb. (main wheels) and 30 lb. (tail wheel).", ["main wheels", "tail wheel"]
    ),
    "given up": (
        "Climbing boost: for +4 lb./sq. in. read +6 lb./sq. in.", ["climb, superseded", "climb"]
    ),
    "given up in talk": (
        "so in the climb twenty six fifty no sorry twenty four hundred revs",
        ["climb, superseded", "climb"],
    ),
    "degrees of flap": ("With 25° of flap she will bear 155 knots.", ["flaps 25 deg"]),
    "rating before place": (
        "Maximum continuous, sea level, 36.0 in. Hg, 2550 rpm.",
        ["maximum continuous", "maximum continuous"],
    ),
    "approach before flaps": ("On the approach, with flaps down, 95 knots.", ["approach"]),
}  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), _CONDITIONS.values(), ids=_CONDITIONS)
def test_conditions_hold_where_they_are_said_to(text: str, expected: list[str | None]) -> None:
    """Each figure has the condition its clause, list or heading gives it, and no other's."""
    said = [limit.condition for limit in read_text(text, "british").limits]
    assert said[-len(expected) :] == expected


def test_a_note_holds_as_what_it_notes() -> None:
    """A figure in a note to a cell has the cell's condition, bound and time."""
    text = (
        "              R.p.m.   In. Hg\n"
        "Take-off      2,700    49.5\n"
        "Military (15 min)  2,700    46.0*\n"
        "Normal rated  2,550    40.0\n"
        "* 44.0 above 6,000 ft."
    )
    reading = read_text(text, "american")
    by = {f.as_written: limit for f, limit in zip(reading.figures, reading.limits, strict=True)}
    assert by["44.0"].condition == by["46.0"].condition == "military"
    assert by["44.0"].time_limit_s == by["46.0"].time_limit_s


_TIMES = {
    "in brackets behind a rating": ("Combat (5) 3,000 +18, climb (60) 2,850 +9.", [300, 3600]),
    "an hour": ("Climb 2,850 r.p.m. and +9 lb. for an hour.", [3600]),
}


@pytest.mark.parametrize(("text", "expected"), _TIMES.values(), ids=_TIMES)
def test_times_of_ratings(text: str, expected: list[int]) -> None:
    """Engine speeds have the time said in brackets, or as "an hour"."""
    limits = read_text(text, "british").limits
    assert [m.time_limit_s for m in limits if m.parameter == "engine speed"] == expected
