"""From limits to the marks of a gauge: lines, arcs and pointers, each with its source row.

What a marking means and looks like is a row of ``tables/gauges/markings.csv``; what a
condition is to the markings, of ``tables/gauges/roles.csv``. The red lines and the yellow
and green arcs follow the published airworthiness practice named there.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from reconcile.dials.gauges import Gauge
from reconcile.dials.heights import height_remarks
from reconcile.dials.markings import Marking, label_of, markings, role_of_row, tabulated
from reconcile.dials.placing import LimitRow, Placed, Refusal, place
from reconcile.dials.remarks import left_out, told_apart
from reconcile.errors import UnknownTermError
from reconcile.measure.quantity import show
from reconcile.reference import near_terms

CAUTION = (
    "These marks are not approved markings. The type's approved documents, local rules and "
    "licensed engineers decide what a gauge may bear."
)


_BOUNDING = ("max", "min", "range")


@dataclass(frozen=True, slots=True)
class Mark:
    """One mark, in the gauge's unit."""

    number: int
    marking: Marking
    lo: Fraction
    hi: Fraction
    """The same as `lo` for a line or pointer."""
    rows: tuple[LimitRow, ...]
    label: str
    """Conditions and times it holds for."""
    exact: str
    """The limit before rounding, in words."""
    rounded: str
    guard: Fraction
    uncertainty: Fraction
    """Expanded uncertainty of the indication there (k = 2)."""

    @property
    def row_ids(self) -> tuple[str, ...]:
        """Rows of the limit table it comes from."""
        return tuple(row.id for row in self.rows)

    def at(self, symbol: str) -> str:
        """Where it stands, in words."""
        if self.lo == self.hi:
            return f"{show(self.lo)} {symbol}".rstrip()
        return f"{show(self.lo)} to {show(self.hi)} {symbol}".rstrip()


@dataclass(frozen=True, slots=True)
class MarkSet:
    """All marks of one gauge for one parameter, and what it cannot show."""

    gauge: Gauge
    parameter: str
    marks: tuple[Mark, ...]
    refused: tuple[Refusal, ...]
    remarks: tuple[str, ...]
    guard_band: bool
    caution: str = CAUTION

    def refusals(self) -> tuple[tuple[str, tuple[LimitRow, ...]], ...]:
        """Each reason with the rows it holds for, in order."""
        found: dict[str, list[LimitRow]] = {}
        for one in self.refused:
            found.setdefault(one.reason, []).append(one.row)
        return tuple((reason, tuple(rows)) for reason, rows in found.items())


def make_marks(
    rows: Iterable[LimitRow],
    gauge: Gauge,
    parameter: str,
    *,
    guard_band: bool = False,
    every: bool = False,
    set_values: bool = False,
) -> MarkSet:
    """Marks of a gauge for one parameter.

    Parameters
    ----------
    rows : iterable of LimitRow
        Of a limit table; of rows that state the same limit, the leading one is used.
    gauge : Gauge
    parameter : str
        A term of the vocabulary.
    guard_band : bool
        Move every bound inwards by the expanded uncertainty of the indication.
    every : bool
        Mark rows that are not verified too; the marks then say so.
    set_values : bool
        Mark values to set or to expect as well, which bound nothing, where they name a
        condition.

    Returns
    -------
    marks : MarkSet

    Raises
    ------
    UnknownTermError
        The table holds no limit of that parameter; those it holds are named.
    """
    rows = list(rows)
    mine = [row for row in rows if row.parameter == parameter and row.lead]
    if not mine:
        known = sorted({row.parameter for row in rows if row.parameter})
        raise UnknownTermError(
            f"the table limits no {parameter!r}", expected=near_terms(parameter, known)
        )
    points = tabulated(mine)
    saying = [
        row
        for row in mine
        if row.id not in points
        and (row.bound in _BOUNDING or (set_values and row.condition is not None))
    ]
    wanted = [r for r in saying if r.standing != "rejected" and (every or r.standing == "verified")]
    placed: list[Placed] = []
    refused: list[Refusal] = []
    for row in wanted:
        outcome = place(row, gauge, guard_band=guard_band)
        if isinstance(outcome, Placed):
            placed.append(outcome)
        else:
            refused.append(outcome)
    remarks = left_out(saying, wanted, every)
    if silent := len(mine) - len(saying):
        remarks.append(
            f"Not marked: {silent} printed value{'' if silent == 1 else 's'} to set or to expect "
            "(drills, tables of performance), which bound nothing."
        )
    marks, more = _marks_of(placed)
    remarks += more + told_apart(placed, gauge)
    if placed and gauge.remark:
        remarks.append(gauge.remark)
    if placed:
        remarks += height_remarks(gauge, parameter, [p.row.figure.quantity for p in placed])
    return MarkSet(gauge, parameter, marks, tuple(refused), tuple(remarks), guard_band)


def _marks_of(placed: Sequence[Placed]) -> tuple[tuple[Mark, ...], list[str]]:
    """Sort placed limits into markings: limit lines, arcs, and pointers for the rest."""
    remarks: list[str] = []
    bounding = [p for p in placed if role_of_row(p.row) in ("rated", "normal")]
    normal = [p for p in placed if role_of_row(p.row) == "normal"]
    bounding = _without_strays(bounding, normal, placed, remarks)
    top = max((p for p in bounding if p.bound == "max"), key=_hi, default=None)
    bottom = _floor([p for p in bounding if p.bound == "min"])
    found: list[Mark] = []
    used: set[str] = set()
    for limit, slug in ((top, "maximum"), (bottom, "minimum")):
        if limit is not None:
            same = [p for p in bounding if p.bound == limit.bound and _span(p) == _span(limit)]
            found.append(_mark(slug, same, _span(limit)))
            used.update(p.row.id for p in same)
    arcs = _normal_arcs(normal, top, bottom, remarks, used)
    found += arcs
    continuous = max(
        [p for p in normal if p.bound == "max" and p.row.time_limit_s is None]
        + [p for p in normal if p.bound == "range" and p.hi is not None],
        key=_hi,
        default=None,
    )
    if top is not None and continuous is not None and _hi(continuous) < _hi(top):
        arc = _mark("caution", [top], (_hi(continuous), _hi(top)))
        found.append(
            replace(
                arc,
                rows=(continuous.row, top.row),
                label=f"above {label_of(continuous.row)}, up to {label_of(top.row)}",
                exact=f"{arc.exact} (above {_exact(continuous)})",
            )
        )
    for p in placed:
        if p.row.id not in used:
            found.append(_mark(_index_slug(p), [p], _span(p)))
    order = list(markings())
    found.sort(key=lambda m: (order.index(m.marking.slug), -m.hi, -m.lo, m.row_ids))
    return tuple(replace(m, number=n) for n, m in enumerate(_merged(found), 1)), remarks


def _floor(minima: Sequence[Placed]) -> Placed | None:
    """The minimum that the red line stands at.

    The one that holds always, where the paper states one: a lower one permitted under a
    condition of its own would put the line where running is otherwise forbidden. Of several
    that hold always the lowest, as the others have a range or value of their own.
    """
    general = [p for p in minima if role_of_row(p.row) == "normal" or p.row.condition is None]
    return min(general or minima, key=_lo, default=None)


def _without_strays(
    bounding: Sequence[Placed],
    normal: Sequence[Placed],
    placed: Sequence[Placed],
    remarks: list[str],
) -> list[Placed]:
    """Leave out limits of no stated condition that other limits of the table contradict.

    Within a printed normal range, or beyond a limit on the other side, such a limit most
    likely belongs to a condition that was not made out; as a red line it would forbid what
    the table allows. It keeps a mark of its own.
    """
    ranges = [p for p in normal if p.bound == "range" and p.lo is not None and p.hi is not None]
    kept: list[Placed] = []
    strays: list[Placed] = []
    for p in bounding:
        below = p.bound == "max" and (
            any(_hi(p) < _span(r)[1] for r in ranges)
            or any(q.bound == "min" and _lo(q) > _hi(p) for q in placed)
        )
        above = p.bound == "min" and (
            any(_lo(p) > _span(r)[0] for r in ranges)
            or any(q.bound == "max" and _hi(q) < _lo(p) for q in placed)
        )
        (strays if p.row.condition is None and (below or above) else kept).append(p)
    if strays:
        words = "; ".join(dict.fromkeys(p.row.figure.as_written for p in strays))
        remarks.append(
            f"A limit of no stated condition ({words}) does not go with the normal range or with "
            "another limit; it is no limit line but a mark of its own. Look at both."
        )
    return kept


def _hi(p: Placed) -> Fraction:
    return next(v for v in (p.hi, p.nominal, p.lo) if v is not None)


def _lo(p: Placed) -> Fraction:
    return next(v for v in (p.lo, p.nominal, p.hi) if v is not None)


def _span(p: Placed) -> tuple[Fraction, Fraction]:
    if p.lo is not None and p.hi is not None:
        return p.lo, p.hi
    return _lo(p), _hi(p)


def _index_slug(p: Placed) -> str:
    if p.lo is not None and p.hi is not None:
        return "conditional range"
    return {"max": "conditional maximum", "min": "conditional minimum"}.get(p.bound, "value to set")


def _normal_arcs(
    normal: Sequence[Placed],
    top: Placed | None,
    bottom: Placed | None,
    remarks: list[str],
    used: set[str],
) -> list[Mark]:
    """Green arcs: printed ranges, else from the least to the most of normal running."""
    arcs = []
    ranges = [p for p in normal if p.bound == "range" and p.lo is not None and p.hi is not None]
    beyond = []
    for p in ranges:
        lo, hi = _span(p)
        if (top and hi > _hi(top)) or (bottom and lo < _lo(bottom)):
            beyond.append(p.row.figure.as_written)
            continue
        arcs.append(_mark("normal", [p], (lo, hi)))
        used.add(p.row.id)
    if beyond:
        remarks.append(
            f"The normal range ({'; '.join(dict.fromkeys(beyond))}) reaches beyond a limit of the "
            "same table; no green arc is drawn for it. Look at both."
        )
    if arcs or ranges:
        return arcs
    most = max(
        (p for p in normal if p.bound == "max" and p.row.time_limit_s is None),
        key=_hi, default=None,
    )  # fmt: skip
    known = bottom if bottom is not None and bottom.row.condition is not None else None
    least = max((p for p in normal if p.bound == "min"), key=_lo, default=known)
    if most is not None and least is not None and _lo(least) < _hi(most):
        arc = _mark("normal", [least, most], (_lo(least), _hi(most)))
        arcs.append(replace(arc, label=f"from {label_of(least.row)} to {label_of(most.row)}"))
    return arcs


def _mark(slug: str, placed: Sequence[Placed], span: tuple[Fraction, Fraction]) -> Mark:
    first = placed[0]
    return Mark(
        number=0,
        marking=markings()[slug],
        lo=span[0],
        hi=span[1],
        rows=tuple(p.row for p in placed),
        label="; ".join(dict.fromkeys(label_of(p.row) for p in placed)),
        exact="; ".join(dict.fromkeys(_exact(p) for p in placed)),
        rounded=_rounding(first),
        guard=max(p.guard for p in placed),
        uncertainty=max(p.uncertainty for p in placed),
    )


_ROUNDED = {"max": "down", "min": "up", "range": "inwards"}


def _rounding(p: Placed) -> str:
    """Which way the mark was moved; a tolerance about a nominal value goes inwards."""
    if not p.loss:
        return "exact"
    if p.lo is not None and p.hi is not None:
        return "inwards"
    return _ROUNDED.get(p.bound, "to the nearest")


def _exact(p: Placed) -> str:
    nominal, lo, hi = p.exact
    parts = [f"{float(v):.6g}" for v in (lo, hi) if v is not None]
    if nominal is not None and not parts:
        parts = [f"{float(nominal):.6g}"]
    return " to ".join(parts)


def _merged(marks: Sequence[Mark]) -> list[Mark]:
    """Marks of one meaning at one place become one, which names all its rows."""
    found: dict[tuple[str, Fraction, Fraction], Mark] = {}
    for mark in marks:
        key = (mark.marking.slug, mark.lo, mark.hi)
        if key in found:
            old = found[key]
            found[key] = replace(
                old,
                rows=tuple({r.id: r for r in (*old.rows, *mark.rows)}.values()),
                label="; ".join(dict.fromkeys((*old.label.split("; "), mark.label))),
                exact="; ".join(dict.fromkeys((*old.exact.split("; "), mark.exact))),
                rounded=old.rounded if mark.rounded == "exact" else mark.rounded,
            )
        else:
            found[key] = mark
    return list(found.values())
