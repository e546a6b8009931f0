"""Check *heights*: what an engine and a climb can do in a table by height.

Needs: table rows with a height and a boost (or manifold pressure), power or rate of climb.
Abstains: in fewer than three rows, below the full-throttle height for power, where rows are
ranges, and for an engine whose boosts say nothing of a supercharger. Sources: the air by
[ISO2533]; power falling with the density of the air above full-throttle height after
[GaggFarrar]; the exponents allowed are wide, tables/checks/engine_bounds.

References
----------
[GaggFarrar] R. F. Gagg and E. V. Farrar, Altitude performance of aircraft engines equipped
    with gear-driven superchargers, S.A.E. Journal 34 (1934), 217.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from math import log

from reconcile.checks.emend import Constraint, Suspect, emend
from reconcile.checks.engine_formulas import static_boost
from reconcile.checks.material import Entry, Material
from reconcile.checks.sides import Side
from reconcile.measure.atmosphere import isa
from reconcile.records import Finding
from reconcile.reference import load_rows

_INDUCTION = ("boost", "manifold pressure")
_LEAST_ROWS = 3
_SEA_LEVEL = 101325.0
_MOST_M = 20000.0


@dataclass(slots=True)
class _Row:
    """One row of a table by height."""

    height: Entry
    metres: float
    others: dict[str, Entry] = field(default_factory=dict)


def check_heights(material: Material) -> Iterator[Finding]:
    """Findings on boosts, powers and climbs that cannot be at their heights."""
    for rows in material.rows:
        tables: dict[tuple[str, int], list[_Row]] = {}
        for key, entries in rows.items():
            row = _row_of(entries)
            if row is not None:
                tables.setdefault(key[:2], []).append(row)
        aspirated = _is_unsupercharged([r for table in tables.values() for r in table])
        for table in tables.values():
            for run in _ascending(table):
                yield from _judge_induction(run, aspirated)
                yield from _judge_run(run)


def _single(entry: Entry) -> bool:
    return entry.side is not None and len(entry.side.ends) == 1


def _si(entry: Entry) -> float:
    assert entry.side is not None
    return float(entry.side.si[0])


def _row_of(entries: list[Entry]) -> _Row | None:
    heights = [e for e in entries if e.figure.kind == "altitude" and _single(e)]
    if len(heights) != 1 or not 0.0 <= _si(heights[0]) <= _MOST_M:
        return None
    found: dict[str, list[Entry]] = {}
    for entry in entries:
        parameter = entry.limit.parameter or ""
        name = "induction" if parameter in _INDUCTION else parameter
        if name in ("induction", "power", "rate of climb") and _single(entry):
            found.setdefault(name, []).append(entry)
    # Two of one kind in a row belong to two gears or ratings: neither is taken.
    alone = {name: some[0] for name, some in found.items() if len(some) == 1}
    return _Row(heights[0], _si(heights[0]), alone)


def _ascending(rows: list[_Row]) -> Iterator[list[_Row]]:
    """Stretches of rows whose heights go up (or down) the page."""
    run: list[_Row] = []
    up: bool | None = None
    for row in sorted(rows, key=lambda r: r.height.figure.place.line):
        if run:
            rises = row.metres > run[-1].metres
            if row.metres == run[-1].metres or (up is not None and rises is not up):
                if len(run) >= _LEAST_ROWS:
                    yield run if up else run[::-1]
                run, up = [], None
            else:
                up = rises
        run.append(row)
    if len(run) >= _LEAST_ROWS:
        yield run if up else run[::-1]


def _is_unsupercharged(rows: list[_Row]) -> bool:
    """No boost of the paper lies above the air at sea level, and one lies near it."""
    values = [_si(r.others["induction"]) for r in rows if "induction" in r.others]
    return len(values) >= _LEAST_ROWS and 0.9 * _SEA_LEVEL < max(values) <= 1.005 * _SEA_LEVEL


def _bounds(slug: str) -> tuple[float, float, str]:
    row = next(r for r in load_rows("checks/engine_bounds") if r["slug"] == slug)
    return float(Fraction(row["low"])), float(Fraction(row["high"])), row["source"]


def _judge_induction(run: list[_Row], unsupercharged: bool) -> Iterator[Finding]:
    """Induction pressure over the air around: bounded by the supercharger there is, or is not."""
    slug = "induction-ratio-unsupercharged" if unsupercharged else "induction-ratio"
    low, high, source = _bounds(slug)
    for row in run:
        entry = row.others.get("induction")
        if entry is None:
            continue
        ambient = float(isa(row.metres).pressure)

        def holds(side: Side, air: float = ambient) -> bool:
            return low <= float(side.si[0]) / air <= high

        assert entry.side is not None
        if holds(entry.side):
            continue
        ratio = _si(entry) / ambient
        said = f"{ratio:.2f} times the air around at {row.height.figure.as_written}"
        steps = [
            f"air at {row.metres:.0f} m: {ambient:.0f} Pa (ISO 2533:1975)",
            f"ratio {ratio:.3f}",
        ]
        if unsupercharged:
            most = static_boost(row.metres)
            said += "; without a supercharger it cannot be above it"
            steps.append(f"static boost there: {most:.0f} Pa over the datum")
        yield _doubt(
            [row.height, entry], entry, f"{entry.figure.as_written} is {said}.",
            f"{low:g} to {high:g} times the air around", holds, (*steps, f"source: {source}"),
        )  # fmt: skip


def _judge_run(run: list[_Row]) -> Iterator[Finding]:
    """Above full-throttle height power follows the air, and the climb does not improve."""
    full = _full_throttle(run)
    if full is None:
        return
    above = run[full:]
    yield from _judge_power(above)
    yield from _judge_climb(above)


def _full_throttle(run: list[_Row]) -> int | None:
    """The last row before the boost falls for good, or None where it never does."""
    values = [_si(r.others["induction"]) if "induction" in r.others else None for r in run]
    for at in range(len(run) - 2):
        rest = values[at:]
        known = [v for v in rest if v is not None]
        if len(known) == len(rest) and all(a > b for a, b in pairwise(known)):
            return at
    return None


def _judge_power(above: list[_Row]) -> Iterator[Finding]:
    low, high, source = _bounds("power-height-exponent")
    base = above[0].others.get("power")
    if base is None:
        return
    sigma_0 = float(isa(above[0].metres).density)
    for row in above[1:]:
        entry = row.others.get("power")
        if entry is None:
            continue
        sigma = float(isa(row.metres).density) / sigma_0

        def holds(side: Side, r: float = sigma) -> bool:
            share = float(side.si[0]) / _si(base)
            return share > 0 and low <= log(share) / log(r) <= high

        assert entry.side is not None
        if holds(entry.side):
            continue
        yield _doubt(
            [above[0].height, base, row.height, entry], entry,
            f"{entry.figure.as_written} at {row.height.figure.as_written} is "
            f"{_si(entry) / _si(base):.2f} of the power at full-throttle height, where the air is "
            f"{sigma:.2f} as dense.",
            f"{sigma**high:.2f} to {sigma**low:.2f} of it", holds,
            (f"density ratio {sigma:.4f} (ISO 2533:1975)", f"source: {source}"),
        )  # fmt: skip


def _judge_climb(above: list[_Row]) -> Iterator[Finding]:
    for lower, upper in pairwise(above):
        one, other = lower.others.get("rate of climb"), upper.others.get("rate of climb")
        if one is None or other is None or _si(other) <= _si(one):
            continue
        before = _si(one)

        def holds(side: Side, most: float = before) -> bool:
            return 0 <= float(side.si[0]) <= most

        yield _doubt(
            [one, other], other,
            f"climb {other.figure.as_written} at {upper.height.figure.as_written} exceeds "
            f"{one.figure.as_written} at {lower.height.figure.as_written}, above full-throttle "
            "height.",
            f"not over {one.figure.as_written}", holds,
            ("above full-throttle height power, and with it the climb, falls with the air",),
        )  # fmt: skip


def _doubt(
    entries: list[Entry],
    suspect: Entry,
    evidence: str,
    expected: str,
    holds: object,
    steps: tuple[str, ...],
) -> Finding:
    assert suspect.side is not None
    constraint = Constraint("heights", holds)  # type: ignore[arg-type]
    return Finding(
        "heights",
        "in doubt",
        evidence,
        limit_ids=tuple(dict.fromkeys(e.limit.id for e in entries)),
        figure_ids=tuple(e.figure.id for e in entries),
        seen=suspect.figure.as_written,
        expected=expected,
        emendations=emend(
            [Suspect(suspect.figure, suspect.side, [constraint], suspect.limit.parameter)]
        ),
        steps=steps,
    )
