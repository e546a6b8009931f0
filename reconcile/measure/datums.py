"""Fixed pressures that boost is counted from: rival datums, each with its uncertainty."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from reconcile.errors import UnknownTermError
from reconcile.reference import load_rows


@dataclass(frozen=True, slots=True)
class Datum:
    """A fixed pressure that boost is counted from."""

    slug: str
    name: str
    pressure: Fraction
    """[Pa], exact."""
    half_width: Fraction
    """Half-width of what is not known of it [Pa], rectangular."""
    reason: str
    source: str


@cache
def datums() -> tuple[Datum, ...]:
    """The rival datums, the default first."""
    return tuple(
        Datum(
            slug=row["slug"],
            name=row["name"],
            pressure=Fraction(row["pressure"]),
            half_width=Fraction(row["half_width"]),
            reason=row["reason"],
            source=row["source"],
        )
        for row in load_rows("units/datums")
    )


def _key(text: str) -> str:
    return "".join(text.casefold().split()).replace(",", "").rstrip(".")


@cache
def _datum_names() -> dict[str, Datum]:
    found: dict[str, Datum] = {}
    for datum, row in zip(datums(), load_rows("units/datums")):
        for name in (row["slug"], row["name"], *row["aliases"].split("|")):
            found[_key(name)] = datum
    return found


def find_datum(text: str = "") -> Datum:
    """The datum of that slug or written value; the default for a blank.

    Parameters
    ----------
    text : str
        ``"nominal-14-7-psi"``, ``"14.7 lb/in2"``, ``"30 in.Hg"``, ``"101325 Pa"``.

    Returns
    -------
    datum : Datum

    Raises
    ------
    UnknownTermError
        No such datum.

    Examples
    --------
    >>> find_datum("30 in.Hg").slug
    'nominal-30-in-hg'
    """
    if not text:
        return datums()[0]
    try:
        return _datum_names()[_key(text)]
    except KeyError:
        raise UnknownTermError(
            f"no datum {text!r}",
            expected="one of " + ", ".join(f"{d.slug} ({d.name})" for d in datums()),
        ) from None
