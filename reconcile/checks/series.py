"""Check *series*: a table column that should run smoothly, and the row where it does not.

Needs: a column of at least five single figures of one kind in rows that ascend; for slipped
rows, the same column in two witnesses; six figures where a unit changes. Abstains: in
shorter columns, in columns that jump about by nature (their robust scatter is large), and
at the two ends, where nothing holds a figure from both sides. Sources: second differences
as in the checking of printed tables; the median absolute deviation [Hampel].

References
----------
[Hampel] F. R. Hampel, The influence curve and its role in robust estimation, Journal of
    the American Statistical Association 69 (1974), 383.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from statistics import median

from reconcile.checks.damage import Supposition
from reconcile.checks.emend import Constraint, Suspect, emend
from reconcile.checks.material import Entry, Material
from reconcile.checks.mislabels import suppose_label
from reconcile.checks.proposals import figure_reading
from reconcile.checks.rounding import handy_half
from reconcile.checks.show import end_sentence, show_as_printed, show_difference
from reconcile.checks.sides import Side
from reconcile.checks.totals import is_total
from reconcile.records import Emendation, Finding

LEAST = 5
"""Fewest figures that make a column."""
_FAR = 5.0
"""Robust standard deviations beyond which a figure is out of line."""
_EVEN = 0.15
"""Share by which the steps of a smooth column may differ. Judged, no source."""
_SCALE = 1.4826
"""Median absolute deviation to standard deviation, of a normal distribution."""


def check_series(material: Material) -> Iterator[Finding]:
    """Findings on figures out of line with their column."""
    for columns in material.columns:
        for entries in columns.values():
            if _adds_up(entries):
                continue  # parts and their total, which need not run smoothly
            for run in _runs(entries):
                changed = list(_changed(run))
                yield from changed or _judge(run)
    yield from _slips(material)


def _adds_up(entries: Sequence[Entry]) -> bool:
    """Whether the column ends in a total of its own rows."""
    totals = [is_total(entry) for entry in entries]
    return any(totals) and not all(totals)


def _runs(entries: Sequence[Entry]) -> Iterator[list[Entry]]:
    """Stretches of single figures of one kind and unit, one a line."""
    run: list[Entry] = []
    for entry in entries:
        side = entry.side
        fits = side is not None and len(side.ends) == 1
        if fits and run and side is not None:
            last = run[-1]
            assert last.side is not None
            same = (last.side.kind, last.side.form, last.limit.condition) == (
                side.kind,
                side.form,
                entry.limit.condition,  # a table of ratings is no series
            )
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
        emendations = _emendations(entry, side, values, at, off, allowed)
        if not emendations or emendations[0].proposed is None:
            continue  # a list of unlike things, more likely, than a series with a fault
        yield Finding(
            "series",
            "in doubt",
            f"{entry.told} is out of line in its column: "
            f"{show_as_printed(expected, side)} would run smoothly.",
            limit_ids=(entry.limit.id,),
            figure_ids=(entry.figure.id,),
            seen=entry.told,
            expected=show_as_printed(expected, side),
            difference_si=off,
            emendations=emendations,
            steps=(
                "column: " + ", ".join(e.figure.as_written for e in run),
                f"neighbours {run[at - 1].figure.as_written} and {run[at + 1].figure.as_written}",
                f"bend {show_difference(off, side, printed=True)}, robust scatter allows "
                f"{show_difference(allowed, side, printed=True)} [Hampel]",
            ),
        )


def _emendations(
    entry: Entry, side: Side, values: list[float], at: int, off: float, allowed: float
) -> tuple[Emendation, ...]:
    expected = values[at] - off
    width = max(allowed, 0.02 * abs(off))
    fits = Constraint("series", lambda s: abs(float(s.si[0]) - expected) <= width)
    return emend([Suspect(entry.figure, side, [fits], entry.limit.parameter)])


def unit_changes(sides: Sequence[Side]) -> tuple[int, Supposition] | None:
    """Where a column goes on in another unit under the old heading, and in which.

    Parameters
    ----------
    sides : sequence of Side
        The column, top to bottom.

    Returns
    -------
    change : (index, supposition) or None
        First row of the other unit, and that row under the unit that makes all smooth.
    """
    values = [float(s.si[0]) for s in sides]
    steps = [b - a for a, b in pairwise(values)]
    if len(steps) < LEAST:
        return None
    middle = median(steps)
    worst = max(abs(step - middle) for step in steps)
    at = max(range(len(steps)), key=lambda i: abs(steps[i] - middle)) + 1
    if not 2 <= at <= len(sides) - 2:
        return None
    half = median(float(handy_half(s.ends[0], s)) for s in sides)
    for one in suppose_label(sides[at]):
        unit, form = one.side.unit, one.side.form
        rest = [float(s.relabelled(unit=unit, form=form).si[0]) for s in sides[at:]]
        mended = [b - a for a, b in pairwise(values[:at] + rest)]
        centre = median(mended)
        allowed = max(4 * half, _EVEN * abs(centre))
        if max(abs(s - centre) for s in mended) <= allowed < worst / 3:
            return at, one
    return None


def _changed(run: list[Entry]) -> Iterator[Finding]:
    """The finding on a column whose unit changes half way down."""
    change = unit_changes([e.side for e in run if e.side is not None])
    if change is None:
        return
    at, one = change
    entry, rest = run[at], run[at:]
    proposed = figure_reading(entry.figure, one.side, one.reason)
    wrong, right = (f.quantity.row.symbol for f in (entry.figure, proposed))
    yield Finding(
        "series",
        "in doubt",
        end_sentence(
            f"From {entry.figure.as_written} on the column runs smoothly only as {right}, "
            f"not {wrong}"
        ),
        limit_ids=tuple(dict.fromkeys(e.limit.id for e in rest)),
        figure_ids=tuple(e.figure.id for e in rest),
        seen=wrong,
        expected=right,
        emendations=(Emendation(one.cause, proposed, 0.9, one.reason, ("series",)),),
        steps=("column: " + ", ".join(e.figure.as_written for e in run), one.reason),
    )


def _slips(material: Material) -> Iterator[Finding]:
    """Columns of a further witness that slipped a row against the first's."""
    models: dict[object, list[list[Entry]]] = {}
    for number, columns in enumerate(material.columns):
        seen: dict[object, int] = {}
        for key, entries in columns.items():
            heading = key[2:]
            column = [e for e in entries if e.side is not None and len(e.side.ends) == 1]
            if not number:
                models.setdefault(heading, []).append(column)
                continue
            at = seen[heading] = seen.get(heading, -1) + 1
            model = models.get(heading, [])
            if at < len(model):
                yield from _slip(model[at], column)


def _slip(model: list[Entry], column: list[Entry]) -> Iterator[Finding]:
    values = [e.value or 0.0 for e in column]
    slipped = slipped_rows([e.value or 0.0 for e in model], values)
    if slipped is None:
        return
    first, shift = slipped
    entry, meant = column[first], model[first]
    rest = column[first:]
    assert meant.side is not None
    reason = f"from here on the column stands {abs(shift)} row{'s' if abs(shift) > 1 else ''} off"
    proposed = figure_reading(entry.figure, meant.side, reason)
    yield Finding(
        "series",
        "contradicts",
        f"From {entry.figure.as_written} on the column is that of the other witness, {abs(shift)} "
        f"row{'s' if abs(shift) > 1 else ''} {'down' if shift > 0 else 'up'}.",
        limit_ids=tuple(dict.fromkeys(e.limit.id for e in rest)),
        figure_ids=tuple(e.figure.id for e in rest),
        seen=entry.figure.as_written,
        expected=meant.figure.as_written,
        emendations=(Emendation("column_slip", proposed, 0.95, reason, ("witnesses",)),),
        steps=(
            "model: " + ", ".join(e.figure.as_written for e in model),
            "copy: " + ", ".join(e.figure.as_written for e in column),
        ),
    )


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
