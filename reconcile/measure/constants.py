"""Constants of the measuring room that are no units: rows of ``tables/units/constants``."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from reconcile.errors import UnknownTermError
from reconcile.reference import load_rows


@cache
def constant(slug: str) -> Fraction:
    """The exact value of a constant, in the unit of its row.

    Raises
    ------
    UnknownTermError
        No such row.

    Examples
    --------
    >>> constant("weather-half-width")
    Fraction(1, 50)
    """
    rows = {row["slug"]: row["value"] for row in load_rows("units/constants")}
    if slug not in rows:
        raise UnknownTermError(f"no constant {slug!r}", expected="one of " + ", ".join(rows))
    return Fraction(rows[slug])
