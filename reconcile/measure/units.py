"""Units of measurement: one row each, with exact factors and period definitions.

The rows stand in ``tables/units/units.csv``. Nothing here needs a units package: a row is
found by its UCUM code or its slug, and its factor is an exact fraction. A figure's year and
country choose the definition that held then; units built from others (miles an hour, pounds
to the square inch) follow the definitions of what they are built from.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cache
from math import fsum

from reconcile.errors import OutOfRangeError, UnknownTermError, UnknownUnitError
from reconcile.reference import Row, load_rows

_ONE = Fraction(1)


@dataclass(frozen=True, slots=True)
class UnitRow:
    """One unit, or one period definition of it.

    `factor` and `offset` lead to SI: ``factor * x + offset`` on a linear scale,
    ``factor / (x + offset)`` on a reciprocal one (degrees API, Baumé).
    """

    slug: str
    ucum: str
    """UCUM code; a period definition carries the code of the unit it defines."""
    kind: str
    factor: Fraction
    offset: Fraction
    si_unit: str
    """Coherent SI unit; two units convert into each other where this is equal."""
    name: str
    symbol: str
    scale: str = "linear"
    grade: str = "exact"
    """"exact", "derived", "measured", "conventional" or "approximate"."""
    u_rel: float = 0.0
    """Relative standard uncertainty of the factor."""
    era: str = "modern"
    of: str = ""
    """Slug of the unit this is a period definition of."""
    country: str = ""
    valid_from: int | None = None
    valid_to: int | None = None
    """First year the definition no longer held."""
    printed: str = ""
    """Rounded values a book of the period prints."""
    qudt_kind: str = ""
    qudt_unit: str = ""
    definition: str = ""
    source: str = ""
    edition: str = ""
    follows: tuple[tuple[str, int], ...] = field(default=(), repr=False)
    """Units whose period definitions it follows, with powers."""

    @property
    def has_zero_of_its_own(self) -> bool:
        """True for a scale whose zero is not the quantity's zero (degC, degF)."""
        return self.offset != 0 and self.scale == "linear"

    def to_si(self, x: Fraction, *, difference: bool = False) -> Fraction:
        """SI value of a reading `x`, exact.

        Parameters
        ----------
        x : Fraction, in this unit
        difference : bool
            `x` is a difference of two readings: the scale's zero drops out.

        Returns
        -------
        value : Fraction, [si_unit]

        Raises
        ------
        OutOfRangeError
            On a reciprocal scale, a difference, or a reading the scale cannot have.
        """
        if self.scale == "linear":
            value = self.factor * x
            return value if difference or not self.offset else value + self.offset
        if difference:
            raise OutOfRangeError(
                f"a difference of {self.name}s has no fixed size",
                do="convert both readings and subtract",
            )
        if (x + self.offset) * self.factor <= 0:
            raise OutOfRangeError(f"{x} is beyond the end of the scale", where=self.name)
        return self.factor / (x + self.offset)

    def from_si(self, value: Fraction, *, difference: bool = False) -> Fraction:
        """Reading in this unit of an SI `value`, exact; the inverse of `to_si`."""
        if self.scale == "linear":
            if not difference and self.offset:
                value = value - self.offset
            return value / self.factor
        if difference:
            raise OutOfRangeError(f"a difference of {self.name}s has no fixed size")
        if not value:
            raise OutOfRangeError("zero has no place on this scale", where=self.name)
        return self.factor / value - self.offset

    def slope(self, x: Fraction) -> Fraction:
        """Size of one unit at the reading `x`: |d SI / d x|, [si_unit]."""
        if self.scale == "linear":
            return self.factor if self.factor >= 0 else -self.factor
        return abs(self.factor / (x + self.offset) ** 2)


def _row(cells: Row) -> UnitRow:
    follows = tuple(
        (slug, int(power))
        for slug, _, power in (part.partition("^") for part in cells["follows"].split())
    )
    return UnitRow(
        slug=cells["slug"],
        ucum=cells["ucum"],
        kind=cells["kind"],
        factor=Fraction(cells["factor"]),
        offset=Fraction(cells["offset"] or 0),
        si_unit=cells["si_unit"],
        name=cells["name"],
        symbol=cells["symbol"],
        scale=cells["scale"],
        grade=cells["grade"],
        u_rel=float(Fraction(cells["u_rel"])),
        era=cells["era"],
        of=cells["of"],
        country=cells["country"],
        valid_from=int(cells["valid_from"]) if cells["valid_from"] else None,
        valid_to=int(cells["valid_to"]) if cells["valid_to"] else None,
        printed=cells["printed"],
        qudt_kind=cells["qudt_kind"],
        qudt_unit=cells["qudt_unit"],
        definition=cells["definition"],
        source=cells["source"],
        edition=cells["edition"],
        follows=follows,
    )


@cache
def _cells() -> dict[str, Row]:
    return {row["slug"]: row for row in load_rows("units/units")}


@cache
def _slugs_of_code() -> dict[str, tuple[str, ...]]:
    """Slugs that a code may mean, the owner first."""
    found: dict[str, tuple[str, ...]] = {}
    for slug, row in _cells().items():
        for code in (row["ucum"], *row["also"].split()):
            if code:
                found[code] = (*found.get(code, ()), slug)
    return found


@cache
def _period_slugs() -> dict[str, tuple[str, ...]]:
    """Of each unit: the definitions that a year may choose."""
    found: dict[str, tuple[str, ...]] = {}
    for slug, row in _cells().items():
        if row["by_year"]:
            found[row["of"]] = (*found.get(row["of"], ()), slug)
    return found


@cache
def _compiled(slug: str) -> UnitRow:
    row = _row(_cells()[slug])
    if row.of and not row.ucum:
        # A period gallon is still written with the gallon's code.
        row = replace(row, ucum=_cells()[row.of]["ucum"])
    return row


@cache
def _countries() -> dict[str, str]:
    rows = load_rows("units/countries")
    found = {row["tradition"]: row["country"] for row in rows}
    found.update({row["country"]: row["country"] for row in rows})
    return found


def country_of(tradition: str) -> str:
    """Two-letter country whose definitions a tradition (or country) follows; "" if unknown.

    Raises
    ------
    UnknownTermError
        Neither a tradition nor a country of ``tables/units/countries.csv``.
    """
    try:
        return _countries()[tradition]
    except KeyError:
        raise UnknownTermError(
            f"no country or tradition {tradition!r}",
            expected="one of " + ", ".join(t for t in _countries() if t),
        ) from None


@cache
def unit_row(
    code_or_slug: str,
    *,
    year: int | None = None,
    country: str | None = None,
    kind: str | None = None,
) -> UnitRow:
    """The unit of that UCUM code or slug, by the definition of a year and country.

    Parameters
    ----------
    code_or_slug : str
        ``"[gal_br]"`` or ``"imperial-gallon"``.
    year : int, optional
        Year of the paper. Without it the modern definition is given.
    country : str, optional
        Country (``"GB"``, ``"US"``) or tradition (``"british"``) of the paper. Units that
        differ between countries keep their modern definition where it is not known.
    kind : str, optional
        Quantity kind, to tell units of one code apart: ``"1"`` as a density is specific
        gravity 60/60 degF, as a ratio a bare number.

    Returns
    -------
    row : UnitRow

    Raises
    ------
    UnknownUnitError
        No such unit; the sentence names near misses.
    UnknownTermError
        No such country.

    Examples
    --------
    >>> unit_row("[gal_br]").factor
    Fraction(454609, 100000000)
    >>> unit_row("[kn_i]", year=1943, country="GB").definition
    '6080 ft / 3600 s; 6.4e-4 above the international knot'
    """
    slug = _find_slug(code_or_slug, kind)
    row = _compiled(slug)
    if year is None or row.of:
        return row
    return _of_year(row, year, country_of(country) if country else "")


def _find_slug(code_or_slug: str, kind: str | None) -> str:
    if code_or_slug in _cells():
        return code_or_slug
    slugs = _slugs_of_code().get(code_or_slug)
    if slugs is None:
        near = near_units(code_or_slug)
        raise UnknownUnitError(
            f"no unit {code_or_slug!r}",
            expected="the name or UCUM code of a unit",
            do=f"did you mean {' or '.join(near)}?" if near else "see `reconcile factors`",
        )
    for slug in slugs if kind else ():
        if _cells()[slug]["kind"] == kind:
            return slug
    return slugs[0]


def _of_year(row: UnitRow, year: int, country: str) -> UnitRow:
    """Definition of `row` that held in `year`: its own row, or built from its parts'."""
    held = [
        rival
        for rival in map(_compiled, _period_slugs().get(row.slug, ()))
        if rival.country in ("", country)
        and (rival.valid_from or 0) <= year < (rival.valid_to or 9999)
    ]
    if held:
        # Of two that held, the later one had replaced the earlier in practice.
        return max(held, key=lambda rival: rival.valid_from or 0)
    ratio, parts, u_rel = _ONE, [], [row.u_rel]
    for slug, power in row.follows:
        if slug == row.slug:
            continue
        # A US gallon is 231 cubic inches of its own country, whoever prints it.
        part = _of_year(_compiled(slug), year, country)
        if part.slug != slug:
            ratio *= (part.factor / _compiled(slug).factor) ** power
            parts.append(part)
            u_rel.append(part.u_rel * power)
    if not parts:
        return row
    return replace(
        row,
        factor=row.factor * ratio,
        grade="measured" if any(p.grade == "measured" for p in parts) else "derived",
        u_rel=fsum(u * u for u in u_rel) ** 0.5,
        era="period",
        of=row.slug,
        country=country,
        valid_from=max(p.valid_from or 0 for p in parts) or None,
        valid_to=min(p.valid_to or 9999 for p in parts),
        definition=row.definition + " by the " + " and the ".join(p.name for p in parts),
        source="; ".join(dict.fromkeys(p.source for p in parts)),
        edition="",
    )


def near_units(text: str, limit: int = 3) -> tuple[str, ...]:
    """Codes, symbols or slugs most like `text`, each as ``code (name)``, likeliest first."""
    import difflib

    by_key: dict[str, str] = {}
    for slug, row in _cells().items():
        if row["of"]:
            continue  # a period definition is found through the unit it defines
        shown = row["ucum"] or slug
        for key in (row["ucum"], slug, row["symbol"], row["name"], *row["also"].split()):
            if key:
                by_key.setdefault(_bare(key), f"{shown} ({row['name']})")
    close = difflib.get_close_matches(_bare(text), by_key, n=4 * limit, cutoff=0.55)
    return tuple(dict.fromkeys(by_key[key] for key in close))[:limit]


def _bare(text: str) -> str:
    return "".join(c for c in text.casefold() if c.isalnum() or c in "/%")


@cache
def all_units(kind: str | None = None) -> tuple[UnitRow, ...]:
    """Every row of the table, or those of one kind, in the table's order."""
    return tuple(_compiled(s) for s, c in _cells().items() if kind in (None, c["kind"]))


@cache
def period_definitions(slug: str) -> tuple[UnitRow, ...]:
    """All rows that define the unit `slug` otherwise than today, oldest first."""
    found = (_compiled(s) for s, c in _cells().items() if c["of"] == slug)
    return tuple(sorted(found, key=lambda r: (r.valid_from or 0, r.slug)))


@cache
def equivalents(si_unit: str, form: str = "none") -> tuple[UnitRow, ...]:
    """Units a modern reader or gauge would use for a quantity, in order of showing.

    Parameters
    ----------
    si_unit : str
        Coherent SI unit, a UCUM code: ``"Pa"``, ``"m/s"``.
    form : str
        Reference form of a pressure; ``"none"`` for anything else.

    Returns
    -------
    rows : tuple of UnitRow, may be empty
    """
    rows = [
        r for r in load_rows("units/equivalents") if (r["si_unit"], r["form"]) == (si_unit, form)
    ]
    rows.sort(key=lambda r: int(r["position"]))
    return tuple(_compiled(r["unit"]) for r in rows)
