"""What the checks work on: every limit of every witness with its figures ready to compare.

Built once and handed to each check, so that a figure is brought to comparable SI once
however many checks ask for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from reconcile.checks.mislabels import suppose_label
from reconcile.checks.rounding import judge
from reconcile.checks.sides import Side, side_of
from reconcile.records import Figure, Limit, Witness

APART = 14
"""Characters that may stand between a figure and its twin: a bracket, "or", "i.e."."""

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
                        limit.parameter,
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
    """Entries in order, those that print one value twice (or thrice) joined."""
    found: list[list[Entry]] = []
    for entry in entries:
        if found and are_twins(found[-1][-1], entry):
            found[-1].append(entry)
        else:
            found.append([entry])
    return [tuple(group) for group in found]


def are_twins(one: Entry, other: Entry) -> bool:
    """Whether `other`, printed next after `one`, says the same in another unit.

    Two numbers under one unit count as well where each is the other's conversion under a
    unit commonly confused with it: then a label is wrong.
    """
    a, b = one.figure, other.figure
    if a.id == b.id or a.kind != b.kind or one.where != other.where:
        return False
    same_limit = one.limit.id == other.limit.id or one.key == other.key
    if not same_limit or not _beside(one, other):
        return False
    if (a.unit, a.quantity.unit_slug) != (b.unit, b.quantity.unit_slug):
        return True
    x, y = one.side, other.side
    if x is None or y is None or x.ends == y.ends or x.scale != y.scale:
        return False
    return any(
        judge(supposed.side, third) != "contradicts"
        for side, third in ((x, y), (y, x))
        for supposed in suppose_label(side)
    )


def _beside(one: Entry, other: Entry) -> bool:
    a, b = one.figure.place, other.figure.place
    if a.column and b.column:
        # Cells are twins under one upper heading only: columns of indicated and of true
        # airspeed stand side by side as well.
        return a.row == b.row and a.line == b.line and a.column[:-1] == b.column[:-1] != ()
    return 0 <= other.start - one.end <= APART
