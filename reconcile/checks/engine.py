"""Check *engine*: power, speed, capacity, mean effective pressure and consumption together.

Needs: figures of one condition that a formula of the piston engine joins. Abstains: where
one of them is missing, a range, or stated twice with different values; for two-stroke and
turbine engines, which the table does not describe. Source: tables/checks/relations
[Heywood], [Taylor]; wide bounds in tables/checks/engine_bounds, common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import cache

from reconcile.checks.engine_formulas import brake_mean_effective_pressure, mean_piston_speed
from reconcile.checks.material import Entry, Material
from reconcile.checks.relations import check_relations
from reconcile.records import Finding
from reconcile.reference import Row, load_rows


def check_engine(material: Material) -> Iterator[Finding]:
    """Findings on the sense an engine's figures make together."""
    yield from check_relations(material, "engine")
    for named in material.by_parameter:
        yield from _bounds(named)


@cache
def engine_bounds() -> dict[str, Row]:
    """Rows of tables/checks/engine_bounds by slug."""
    return {row["slug"]: row for row in load_rows("checks/engine_bounds")}


def _bounds(named: dict[str, list[Entry]]) -> Iterator[Finding]:
    """Derived numbers that no engine of the time had."""
    volumes, strokes = named.get("swept volume", []), named.get("stroke", [])
    speeds = named.get("engine speed", [])
    for power in named.get("power", []):
        speed = _of(speeds, power)
        if speed is not None and len(volumes) == 1:
            pressure = brake_mean_effective_pressure(
                _value(power), _value(volumes[0]), _value(speed)
            )
            yield from _within("mean-effective-pressure", pressure, [power, speed, volumes[0]])
    if len(strokes) == 1:
        for speed in speeds:
            yield from _within(
                "piston-speed",
                mean_piston_speed(_value(strokes[0]), _value(speed)),
                [speed, strokes[0]],
            )


def _of(entries: list[Entry], other: Entry) -> Entry | None:
    same = [e for e in entries if e.limit.condition == other.limit.condition]
    return same[0] if len(same) == 1 else None


def _value(entry: Entry) -> float:
    assert entry.side is not None
    return float(max(entry.side.si))


def _within(slug: str, value: float, entries: list[Entry]) -> Iterator[Finding]:
    row = engine_bounds()[slug]
    low, high = float(Fraction(row["low"])), float(Fraction(row["high"]))
    if low <= value <= high:
        return
    named = ", ".join(f"{e.limit.parameter} {e.told}" for e in entries)
    yield Finding(
        "engine",
        "in doubt",
        f"{named} make a {row['title']} of {value:.3g} {row['unit']}, outside {row['low']} to "
        f"{row['high']}.",
        limit_ids=tuple(dict.fromkeys(e.limit.id for e in entries)),
        figure_ids=tuple(e.figure.id for e in entries),
        seen=f"{value:.3g} {row['unit']}",
        expected=f"{row['low']} to {row['high']} {row['unit']}",
        steps=(f"{row['title']}: {value:.6g} {row['unit']}", f"source: {row['source']}"),
    )
