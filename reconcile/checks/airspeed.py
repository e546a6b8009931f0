"""Check *airspeed*: indicated, true and Mach at a height, printed in one row, must fit.

Needs: a table row with a height and two of indicated (or calibrated), true, Mach number.
Abstains: where a heading or qualifier does not say which speed is meant, in ranges, and
where the height is missing. Source: [R1135] through reconcile.measure.airspeed; the words
are rows of tables/checks/speed_words.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import cache

from reconcile.checks.emend import Constraint, Suspect, emend
from reconcile.checks.material import Entry, Material
from reconcile.checks.rounding import handy_half
from reconcile.checks.show import show_as_printed
from reconcile.checks.sides import Side
from reconcile.errors import MeasureError
from reconcile.measure.airspeed import calibrated_from_mach, mach_from_true, true_from_calibrated
from reconcile.measure.atmosphere import isa
from reconcile.records import Finding
from reconcile.reference import Row, load_rows

INSTRUMENT = 0.03
"""Relative share for the instrument's and its opening's errors. Common practice, no source."""
_MOST_M = 20000.0


@cache
def _words() -> tuple[Row, ...]:
    return load_rows("checks/speed_words")


def speed_meant(entry: Entry) -> str:
    """ "indicated", "true", "mach", or blank where the paper does not say."""
    place = entry.figure.place
    if entry.limit.parameter == "mach number":
        return "mach"
    if entry.figure.kind != "speed":
        return ""
    said = " ".join((*entry.figure.qualifiers, *place.column, *place.row, *entry.limit.notes))
    low = said.lower().replace(" ", "")
    found = {row["means"] for row in _words() if row["word"] in low}
    return found.pop() if len(found) == 1 else ""


def check_airspeed(material: Material) -> Iterator[Finding]:
    """Findings on rows that print one speed in two ways."""
    for rows in material.rows:
        for entries in rows.values():
            heights = [e for e in entries if e.figure.kind == "altitude" and _single(e)]
            if len(heights) != 1:
                continue
            speeds = {speed_meant(e): e for e in entries if _single(e) and speed_meant(e)}
            for a, b in (("indicated", "true"), ("mach", "true"), ("mach", "indicated")):
                if a in speeds and b in speeds:
                    yield from _judge(heights[0], speeds[a], a, speeds[b], b)


def _single(entry: Entry) -> bool:
    return entry.side is not None and len(entry.side.ends) == 1


def expected_speed(value: float, meant: str, wanted: str, height_m: float) -> float:
    """One speed from another at a height in the standard atmosphere.

    Parameters
    ----------
    value : float, [m/s] or Mach number
    meant, wanted : str
        "indicated" (taken as calibrated), "true" or "mach".
    height_m : float, [m], geopotential

    Examples
    --------
    >>> round(expected_speed(129.91, "indicated", "true", 3048.0), 1)
    150.0
    """
    air = isa(height_m)
    pressure, temperature = float(air.pressure), float(air.temperature)
    if meant == "mach":
        calibrated = float(calibrated_from_mach(value, pressure))
    else:
        calibrated = value
    if wanted == "indicated":
        return calibrated
    true = float(true_from_calibrated(calibrated, pressure, temperature))
    return true if wanted == "true" else float(mach_from_true(true, temperature))


def _judge(height: Entry, one: Entry, meant: str, other: Entry, wanted: str) -> Iterator[Finding]:
    h = _value(height)
    if not -1000.0 <= h <= _MOST_M:
        return
    off = _off(height.side, one.side, other.side, meant, wanted)
    if off is None:
        return
    rounding = sum(_share(s) for s in (one.side, other.side))
    slack = INSTRUMENT if "indicated" in (meant, wanted) else 0.005
    allowed = rounding + slack
    good = abs(off) <= allowed
    verdict = (
        ("agrees" if abs(off) <= rounding else "agrees within rounding")
        if good
        else ("contradicts" if abs(off) > 2 * allowed else "in doubt")
    )
    entries = (height, one, other)
    expected = expected_speed(_value(one), meant, wanted, h)
    assert other.side is not None
    shown = show_as_printed(expected, other.side)
    suspects = []
    for at, entry in enumerate(entries):
        if entry.side is None or good:
            continue

        def holds(side: Side, at: int = at) -> bool:
            sides = [side if i == at else e.side for i, e in enumerate(entries)]
            miss = _off(sides[0], sides[1], sides[2], meant, wanted)
            return miss is not None and abs(miss) <= allowed

        constraint = Constraint("airspeed", holds)
        suspects.append(Suspect(entry.figure, entry.side, [constraint], entry.limit.parameter))
    yield Finding(
        "airspeed",
        verdict,  # type: ignore[arg-type]
        f"{one.told} {meant} at {height.told} is {shown} {wanted}; "
        f"{other.told} is printed ({off:+.1%}, {allowed:.1%} allowed).",
        limit_ids=tuple(dict.fromkeys(e.limit.id for e in entries)),
        figure_ids=tuple(e.figure.id for e in entries),
        seen=other.told,
        expected=shown,
        difference_si=_value(other) - expected,
        emendations=emend(suspects),
        steps=(
            f"height {h:.0f} m: standard pressure {float(isa(h).pressure):.0f} Pa",
            f"{meant} {_value(one):.5g} m/s gives {wanted} {expected:.5g} m/s; "
            f"printed {_value(other):.5g} m/s",
            f"allowed: {rounding:.2%} of rounding, {slack:.2%} of instrument",
            "source: NACA Report 1135 through reconcile.measure.airspeed; ISO 2533:1975",
        ),
    )


def _off(
    height: Side | None, one: Side | None, other: Side | None, meant: str, wanted: str
) -> float | None:
    if height is None or one is None or other is None:
        return None
    h = float(height.si[0])
    value, printed = float(one.si[0]), float(other.si[0])
    if not -1000.0 <= h <= _MOST_M or value <= 0 or printed <= 0:
        return None
    try:
        return printed / expected_speed(value, meant, wanted, h) - 1
    except MeasureError:  # beyond the speed of sound: nothing to compare with
        return None


def _share(side: Side | None) -> float:
    if side is None or not side.ends[0]:
        return 0.0
    return float(handy_half(side.ends[0], side) / abs(side.si[0]))


def _value(entry: Entry) -> float:
    assert entry.side is not None
    return float(Fraction(entry.side.si[0]))
