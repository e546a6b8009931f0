"""What the checks work on: every limit of every witness with its figures ready to compare.

Built once and handed to each check, so that a figure is brought to comparable SI once
however many checks ask for it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from reconcile.checks.forms import quantity_of
from reconcile.checks.mislabels import suppose_label
from reconcile.checks.rounding import judge
from reconcile.checks.show import tell
from reconcile.checks.sides import Side, side_of
from reconcile.checks.weigh import explain
from reconcile.records import Figure, Limit, Witness

APART = 14
"""Characters that may stand between a figure and its twin: a bracket, "or", "i.e."."""
BRACKET = 4
"""Characters between a figure and a twin that does not agree with it: " (", " or "."""
_SELDOM_TWICE = frozenset({"time", "ratio", "angle", "voltage", "current"})
"""Kinds that papers do not print in two units; two of them are two figures."""
_WINDOW = 4
"""Cells to the right in which a twin is looked for."""

Key = tuple[str | None, str | None, str, str, tuple[str, ...]]


@dataclass(frozen=True, slots=True, eq=False)
class Entry:
    """One figure of one limit of one witness."""

    witness: int
    order: int
    """Place among the witness's entries, in page order."""
    limit: Limit
    figure: Figure
    side: Side | None
    """None where the figure was not read to one value."""
    key: Key
    """What makes two limits the same limit."""
    value: float | None = None
    """First comparable SI value, or None where unread."""

    @property
    def told(self) -> str:
        """The figure with its unit and reference form, for a sentence."""
        written = self.figure.as_written
        return written if self.side is None else tell(written, self.side, printed=True)

    @property
    def where(self) -> tuple[str, int]:
        """Source and page."""
        return self.figure.place.source_id, self.figure.place.page

    @property
    def start(self) -> int:
        """Offset of the figure in its page's text."""
        span = self.figure.place.span
        return (span if span != (0, 0) else self.figure.span)[0]

    @property
    def end(self) -> int:
        """Offset of the figure's end in its page's text."""
        span = self.figure.place.span
        return (span if span != (0, 0) else self.figure.span)[1]


@dataclass(slots=True, eq=False)
class Material:
    """Witnesses and their entries."""

    witnesses: Sequence[Witness]
    entries: list[list[Entry]] = field(default_factory=list)
    """By witness, in page order."""
    _statements: list[list[tuple[Entry, ...]]] = field(default_factory=list, repr=False)
    _counts: list[Counter[Key]] = field(default_factory=list, repr=False)
    _views: dict[str, list[dict[Any, list[Entry]]]] = field(default_factory=dict, repr=False)

    @classmethod
    def of(cls, witnesses: Sequence[Witness]) -> Material:
        """Prepare `witnesses`; a figure that no limit claims is left to the readers."""
        material = cls(witnesses)
        sides: dict[str, Side | None] = {}
        for number, witness in enumerate(witnesses):
            entries: list[Entry] = []
            for limit in witness.limits:
                for figure_id in limit.figure_ids:
                    figure = witness.figures.get(figure_id)
                    if figure is None:
                        continue
                    if figure_id not in sides:
                        sides[figure_id] = side_of(figure) if figure.status != "unread" else None
                    side = sides[figure_id]
                    key = (
                        quantity_of(limit.parameter),
                        limit.condition,
                        limit.bound,
                        figure.kind,
                        limit.applies_to,
                    )
                    value = None if side is None else float(side.si[0])
                    entries.append(Entry(number, len(entries), limit, figure, side, key, value))
            material.entries.append(entries)
        return material

    @property
    def statements(self) -> list[list[tuple[Entry, ...]]]:
        """Entries by witness, a figure and its twins in other units standing together."""
        if not self._statements:
            self._statements.extend(find_statements(entries) for entries in self.entries)
        return self._statements

    @property
    def leads(self) -> frozenset[str]:
        """Ids of the figures that are no twin of the one before them."""
        return frozenset(s[0].figure.id for said in self.statements for s in said)

    def how_often(self, entry: Entry) -> int:
        """In how many statements of its witness the entry's key stands."""
        if not self._counts:
            for statements in self.statements:
                self._counts.append(Counter(s[0].key for s in statements))
        return self._counts[entry.witness][entry.key]

    def __iter__(self) -> Iterator[Entry]:
        for entries in self.entries:
            yield from entries

    def _view(self, name: str, key: Callable[[Entry], Any]) -> list[dict[Any, list[Entry]]]:
        """Readable entries grouped by `key` for each witness; None as a key leaves out."""
        if name not in self._views:
            views: list[dict[Any, list[Entry]]] = []
            for entries in self.entries:
                groups: dict[Any, list[Entry]] = {}
                for entry in entries:
                    at = key(entry) if entry.side is not None else None
                    if at is not None:
                        groups.setdefault(at, []).append(entry)
                views.append(groups)
            self._views[name] = views
        return self._views[name]

    @property
    def by_parameter(self) -> list[dict[str, list[Entry]]]:
        """Readable entries by parameter, for each witness."""
        return self._view("parameter", lambda e: e.limit.parameter)

    @property
    def rows(self) -> list[dict[tuple[Any, ...], list[Entry]]]:
        """Readable entries that share a table row (page and row heading), for each witness."""
        return self._view(
            "row",
            lambda e: (
                (*e.where, e.figure.place.line, e.figure.place.row)
                if e.figure.place.row or e.figure.place.column
                else None
            ),
        )

    @property
    def columns(self) -> list[dict[tuple[Any, ...], list[Entry]]]:
        """Readable entries of one table column, top to bottom, for each witness."""
        return self._view(
            "column",
            lambda e: (*e.where, e.figure.place.column) if e.figure.place.column else None,
        )


def find_statements(entries: Sequence[Entry]) -> list[tuple[Entry, ...]]:
    """Entries in order, those that print one value twice (or thrice) joined.

    In a row of cells the twin is the one that agrees, not the one next door (each, total,
    litres); so agreeing neighbours are joined first. Of the rest, two are twins in conflict
    where they stand as twins do and one slip would make them agree.
    """
    twin_of: dict[int, int] = {}
    taken: set[int] = set()
    for i, one in enumerate(entries):
        for j in range(i + 1, min(i + 1 + _WINDOW, len(entries))):
            other = entries[j]
            if not _may_be_twins(one, other) and not _is_bracketed(one, other):
                break
            if (
                j not in taken
                and i not in twin_of
                and _in_other_unit(one, other)
                and _agree(one, other)
            ):
                twin_of[j] = i
                taken.add(j)
    paired = taken | set(twin_of.values())
    for i, (one, other) in enumerate(pairwise(entries)):
        if i in paired or i + 1 in paired or not _may_be_twins(one, other):
            continue
        if _clash(one, other):
            twin_of[i + 1] = i
            paired |= {i, i + 1}
    groups: dict[int, list[Entry]] = {}
    for i, entry in enumerate(entries):
        groups.setdefault(twin_of.get(i, i), []).append(entry)
    return [tuple(group) for group in groups.values()]


def _may_be_twins(one: Entry, other: Entry) -> bool:
    """Whether `other` says the same thing of the same machine, close by."""
    a, b = one.figure, other.figure
    if a.kind != b.kind or one.where != other.where:
        return False
    if one.limit.id != other.limit.id and one.key != other.key:
        return False
    cells = bool(a.place.column and b.place.column)
    if cells:
        return a.place.line == b.place.line and a.place.row == b.place.row
    return 0 <= other.start - one.end <= APART or (
        a.place.line == b.place.line and bool(a.place.line)
    )


def _is_bracketed(one: Entry, other: Entry) -> bool:
    """Whether `other` stands close behind in another unit, as "(38.1 in. Hg)" does.

    A reader may have taken the bound or the condition of the two from other words.
    """
    return (
        one.where == other.where
        and one.figure.kind == other.figure.kind
        and one.key[0] == other.key[0]
        and 0 <= other.start - one.end <= BRACKET
        and _in_other_unit(one, other)
    )


def _in_other_unit(one: Entry, other: Entry) -> bool:
    a, b = one.figure, other.figure
    return (a.unit, a.quantity.unit_slug) != (b.unit, b.quantity.unit_slug)


def _agree(one: Entry, other: Entry) -> bool:
    a, b = one.side, other.side
    return a is not None and b is not None and judge(a, b).startswith("agrees")


def _clash(one: Entry, other: Entry) -> bool:
    """Whether two neighbours are twins of which one is wrong."""
    a, b = one.side, other.side
    if a is None or b is None or (a.ends == b.ends and a.scale == b.scale):
        return False
    if one.figure.kind in _SELDOM_TWICE or "ambiguous" in (one.figure.status, other.figure.status):
        return False
    beside = 0 <= other.start - one.end <= BRACKET
    if not _in_other_unit(one, other):
        # "7 galls. (8½ galls.)" are alternatives: two figures each, and a close fit, tell more.
        coarse = any(abs(side.ends[0]) < 10 * side.place for side in (a, b))
        return (
            beside
            and not coarse
            and any(
                judge(supposed.side, third) == "agrees"
                for side, third in ((a, b), (b, a))
                for supposed in suppose_label(side)
            )
        )
    found = explain(a, b, twins=True, parameter=one.limit.parameter)
    # In a row of cells, where other figures of the name may stand, the fault must be plain.
    both = sum(e.odds for e in found if e.faulty is None)
    return bool(found) and both < (0.5 if beside else 0.1)
