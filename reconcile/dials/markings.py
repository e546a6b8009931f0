"""What markings mean, what conditions are to them, and how a limit is called beside its mark."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from reconcile.dials.placing import LimitRow
from reconcile.measure.quantity import show
from reconcile.reference import load_rows


@dataclass(frozen=True, slots=True)
class Marking:
    """What a mark means and how it is drawn; a row of the table."""

    slug: str
    means: str
    shape: str
    colour: str
    pattern: str
    word: str
    source: str


@cache
def markings() -> dict[str, Marking]:
    """The markings by slug."""
    return {row["slug"]: Marking(**row) for row in load_rows("gauges/markings")}


@cache
def _roles() -> dict[str, str]:
    return {row["condition"]: row["role"] for row in load_rows("gauges/roles")}


def role_of(condition: str | None) -> str:
    """ "rated", "normal" or "special"; a limit with no condition holds always: "rated"."""
    return "rated" if condition is None else _roles().get(condition, "special")


def role_of_row(row: LimitRow) -> str:
    """`role_of` its condition; a row heading that is no known one still means one."""
    if row.condition is None and row.figure.place.row:
        return "special"
    return role_of(row.condition)


def duration_words(seconds: Fraction) -> str:
    """A time in the unit a reader would use: ``5 min``, ``1 h``, ``20 s``."""
    for size, name in ((3600, "h"), (60, "min")):
        if seconds >= size and (seconds / size).denominator <= 4:
            return f"{show(seconds / size)} {name}"
    return f"{show(seconds)} s"


def condition_words(row: LimitRow) -> str:
    """The condition, or the table's own row heading where none was made out."""
    heading = f"“{row.figure.place.row[-1]}”" if row.figure.place.row else "no condition stated"
    return row.condition or heading


def label_of(row: LimitRow) -> str:
    """Condition and time limit in short: ``take-off, 5 min``."""
    if row.time_limit_s is None:
        return condition_words(row)
    return f"{condition_words(row)}, {duration_words(row.time_limit_s)}"


def tabulated(rows: Iterable[LimitRow]) -> frozenset[str]:
    """Ids of rows that only tabulate: a column run along heights, weights or times.

    A row of a table whose heading is a bare number names a point of a curve, no condition;
    and so do the rows of the same column beside it ("Sea level").
    """
    rows = [row for row in rows if row.condition is None and row.figure.place.row]
    columns = {
        _column_of(row)
        for row in rows
        if row.figure.place.column and not any(c.isalpha() for c in row.figure.place.row[-1])
    }
    return frozenset(row.id for row in rows if _column_of(row) in columns)


def _column_of(row: LimitRow) -> tuple[object, ...]:
    place = row.figure.place
    return place.source_id, place.page, place.column
