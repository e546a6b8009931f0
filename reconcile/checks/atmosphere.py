"""Check *atmosphere*: height, pressure and temperature of the air printed in one row.

Needs: a table row with a height and a barometric pressure or an outside air temperature;
or an unsupercharged engine's boost at a height. Abstains: in ranges, and for pressures
that are not said to be the air's. Source: [ISO2533] through reconcile.measure.atmosphere.
"""

from __future__ import annotations

from collections.abc import Iterator

from reconcile.checks.emend import Constraint, Suspect, emend
from reconcile.checks.material import Entry, Material
from reconcile.checks.rounding import handy_half
from reconcile.checks.show import show_difference, show_si
from reconcile.checks.sides import Side
from reconcile.measure.atmosphere import isa
from reconcile.records import Finding

_PRESSURE, _TEMPERATURE = "barometric pressure", "outside air temperature"
_SLACK = {_PRESSURE: 0.003, _TEMPERATURE: 1.0}
"""What the period's own standard atmospheres may differ by: share of a pressure, K."""
_MOST_M = 20000.0


def check_atmosphere(material: Material) -> Iterator[Finding]:
    """Findings on rows that describe the air at a height."""
    for rows in material.rows:
        for entries in rows.values():
            heights = [e for e in entries if e.figure.kind == "altitude" and _single(e)]
            if len(heights) != 1:
                continue
            for entry in entries:
                if entry.limit.parameter in _SLACK and _single(entry):
                    yield from _judge(heights[0], entry)


def _single(entry: Entry) -> bool:
    return entry.side is not None and len(entry.side.ends) == 1


def _gap(height: Side, air: Side, parameter: str) -> tuple[float, float] | None:
    """Printed less standard, and what may lie between; None beyond the atmosphere."""
    h = float(height.si[0])
    if not -1000.0 <= h <= _MOST_M:
        return None
    standard = isa(h)
    near = isa(h + float(handy_half(height.ends[0], height)))
    seen = float(air.si[0])
    half = float(handy_half(air.ends[0], air))
    if parameter == _PRESSURE:
        expected, beyond = float(standard.pressure), float(near.pressure)
        slack = _SLACK[parameter] * expected
    else:
        expected, beyond = float(standard.temperature), float(near.temperature)
        slack = _SLACK[parameter]
    return seen - expected, half + abs(beyond - expected) + slack


def _judge(height: Entry, air: Entry) -> Iterator[Finding]:
    assert height.side is not None
    assert air.side is not None
    parameter = air.limit.parameter or ""
    found = _gap(height.side, air.side, parameter)
    if found is None:
        return
    gap, allowed = found
    good = abs(gap) <= allowed
    # Weather is no fault of the paper: temperatures far from standard are only doubtful.
    verdict = "agrees" if good else "contradicts" if parameter == _PRESSURE else "in doubt"
    suspects = []
    for entry, other in ((height, air), (air, height)):
        if good or entry.side is None:
            continue

        def holds(side: Side, mine: Entry = entry, theirs: Entry = other) -> bool:
            pair = (side, theirs.side) if mine is height else (theirs.side, side)
            assert pair[0] is not None
            assert pair[1] is not None
            result = _gap(pair[0], pair[1], parameter)
            return result is not None and abs(result[0]) <= result[1]

        constraint = Constraint("atmosphere", holds)
        suspects.append(Suspect(entry.figure, entry.side, [constraint], entry.limit.parameter))
    h = float(height.side.si[0])
    standard = isa(h)
    yield Finding(
        "atmosphere",
        verdict,  # type: ignore[arg-type]
        f"{air.told} at {height.told}: {show_difference(gap, air.side)} "
        f"from the standard atmosphere, {show_difference(allowed, air.side)} allowed.",
        limit_ids=tuple(dict.fromkeys((height.limit.id, air.limit.id))),
        figure_ids=(height.figure.id, air.figure.id),
        seen=air.told,
        expected=f"{float(standard.pressure):.6g} Pa, {float(standard.temperature):.5g} K",
        difference_si=gap,
        emendations=emend(suspects),
        steps=(
            f"height {h:.1f} m: {float(standard.pressure):.1f} Pa, "
            f"{float(standard.temperature):.2f} K (ISO 2533:1975)",
            f"printed {show_si(air.side.si[0], air.side)}, {gap:+.4g} off, {allowed:.4g} allowed",
        ),
    )
