"""What the checks work on: every limit of every witness with its figures ready to compare.

Built once and handed to each check, so that a figure is brought to comparable SI once
however many checks ask for it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from reconcile.checks.sides import Side, side_of
from reconcile.records import Figure, Limit, Witness

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
