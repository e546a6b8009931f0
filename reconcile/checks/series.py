"""Check *series*: a table column that should run smoothly, and the row where it does not.

Needs: a column of at least five single figures of one kind in rows that ascend. Abstains:
in shorter columns, in columns that jump about by nature (their robust scatter is large),
and at the two ends, where nothing holds a figure from both sides. Sources: second
differences as in the checking of printed tables; the median absolute deviation [Hampel].

References
----------
[Hampel] F. R. Hampel, The influence curve and its role in robust estimation, Journal of
    the American Statistical Association 69 (1974), 383.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from statistics import median

from reconcile.checks.emend import Constraint, Suspect, emend
from reconcile.checks.material import Entry, Material
from reconcile.checks.rounding import handy_half
from reconcile.checks.sides import Side
from reconcile.records import Emendation, Finding

LEAST = 5
"""Fewest figures that make a column."""
_FAR = 5.0
"""Robust standard deviations beyond which a figure is out of line."""
_SCALE = 1.4826
"""Median absolute deviation to standard deviation, of a normal distribution."""


def check_series(material: Material) -> Iterator[Finding]:
    """Findings on figures out of line with their column."""
    for columns in material.columns:
        for entries in columns.values():
            for run in _runs(entries):
                yield from _judge(run)


def _runs(entries: Sequence[Entry]) -> Iterator[list[Entry]]:
    """Stretches of single figures of one kind and unit, one a line."""
    run: list[Entry] = []
    for entry in entries:
        side = entry.side
        fits = side is not None and len(side.ends) == 1
        if fits and run and side is not None:
            last = run[-1]
            assert last.side is not None
            same = last.side.kind == side.kind and last.side.form == side.form
            if last.figure.place.line == entry.figure.place.line or not same:
                fits = False
        if not fits:
            if len(run) >= LEAST:
                yield run
            run = [entry] if side is not None and len(side.ends) == 1 else []
            continue
        run.append(entry)
    if len(run) >= LEAST:
        yield run


def out_of_line(values: Sequence[float], halves: Sequence[float]) -> list[tuple[int, float, float]]:
    """Values that break the run: index, residual, and what the others' scatter allows.

    Each value is set against the straight line through its two neighbours. A wrong value
    spoils its neighbours' bends too, by half and with the other sign; the scatter is taken
    from the rest.

    Examples
    --------
    >>> out_of_line([10.0, 20.0, 30.0, 46.0, 50.0, 60.0, 70.0], [0.5] * 7)[0][:2]
    (3, 6.0)
    """
    bends = [values[i] - (values[i - 1] + values[i + 1]) / 2 for i in range(1, len(values) - 1)]
    found = []
    for at, bend in enumerate(bends):
        around = (at - 1, at, at + 1)
        others = [b for i, b in enumerate(bends) if i not in around]
        centre = median(others) if others else 0.0
        scatter = _SCALE * median(abs(b - centre) for b in others) if len(others) > 2 else 0.0
        allowed = max(_FAR * scatter, 3 * median(halves), 2 * halves[at + 1])
        off = bend - centre
        if abs(off) > allowed and _is_spike(bends, at, centre, off):
            found.append((at + 1, off, allowed))
    return found


def _is_spike(bends: Sequence[float], at: int, centre: float, off: float) -> bool:
    """Whether the neighbours bend half as much the other way, as round one wrong value.

    A true kink (power above the full-throttle height) bends once and leaves them straight.
    """
    sides = [bends[i] - centre for i in (at - 1, at + 1) if 0 <= i < len(bends)]
    return bool(sides) and all(-0.8 <= side / off <= -0.25 for side in sides)


def _judge(run: list[Entry]) -> Iterator[Finding]:
    sides = [e.side for e in run if e.side is not None]
    values = [float(s.si[0]) for s in sides]
    halves = [float(handy_half(s.ends[0], s)) for s in sides]
    for at, off, allowed in out_of_line(values, halves):
        entry, side = run[at], sides[at]
        expected = values[at] - off
        changed = _unit_change(values, at)
        yield Finding(
            "series",
            "in doubt",
            f"{entry.figure.as_written} is out of line in its column: {expected:.4g} SI would run "
            f"smoothly, {values[at]:.4g} is printed"
            + ("; the unit seems to change here." if changed else "."),
            limit_ids=(entry.limit.id,),
            figure_ids=(entry.figure.id,),
            seen=entry.figure.as_written,
            expected=f"{expected:.4g} SI",
            difference_si=off,
            emendations=_emendations(entry, side, values, at, off, allowed),
            steps=(
                "column: " + ", ".join(e.figure.as_written for e in run),
                f"neighbours {values[at - 1]:.5g} and {values[at + 1]:.5g} SI",
                f"bend {off:+.4g}, robust scatter allows {allowed:.4g} [Hampel]",
            ),
        )


def _emendations(
    entry: Entry, side: Side, values: list[float], at: int, off: float, allowed: float
) -> tuple[Emendation, ...]:
    expected = values[at] - off
    width = max(allowed, 0.02 * abs(off))
    fits = Constraint("series", lambda s: abs(float(s.si[0]) - expected) <= width)
    return emend([Suspect(entry.figure, side, [fits], entry.limit.parameter)])


def _unit_change(values: Sequence[float], at: int) -> bool:
    """Whether everything from here on is off by one steady factor."""
    if at < 2 or at > len(values) - 2 or not all(v > 0 for v in values):
        return False
    step_before = values[at - 1] / values[at - 2]
    jump = values[at] / values[at - 1]
    step_after = values[at + 1] / values[at]
    smooth = abs(step_before / step_after - 1) < 0.2
    return smooth and not 0.6 < jump / step_before < 1.6


def slipped_rows(ours: Sequence[float], theirs: Sequence[float]) -> tuple[int, int] | None:
    """Where a copy's column slipped against its model's: (first row, rows shifted), or None.

    Examples
    --------
    >>> slipped_rows([1.0, 2.0, 3.0, 4.0, 5.0], [1.0, 2.0, 2.0, 3.0, 4.0])
    (2, 1)
    """
    count = min(len(ours), len(theirs))
    first = next((i for i in range(count) if ours[i] != theirs[i]), None)
    if first is None:
        return None
    for shift in (1, -1, 2, -2):
        rows = [i for i in range(first, count) if 0 <= i - shift < len(ours)]
        if len(rows) >= 3 and all(theirs[i] == ours[i - shift] for i in rows):
            return first, shift
    return None
