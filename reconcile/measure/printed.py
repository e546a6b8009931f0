"""Factors as books print them: to recognise a paper's own rounded arithmetic.

Two figures of a paper that should be the same may differ only because whoever turned one
into the other multiplied by 14.2 where 14.2233 is right, or took an Imperial gallon for five
U.S. quarts. The rows of ``tables/units/printed_conversions`` hold such factors; nothing here
is ever used to convert.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from reconcile.measure.quantity import Quantity, show
from reconcile.measure.units import UnitRow, unit_row
from reconcile.reference import load_rows


@dataclass(frozen=True, slots=True)
class PrintedFactor:
    """A factor as printed, beside the exact one."""

    unit: UnitRow
    other: UnitRow
    printed: Fraction
    """How many of `other` were taken to make one of `unit`."""
    exact: Fraction
    grade: str
    """"rounded", "rough" or "wrong"."""
    note: str
    source: str
    divided: bool = False
    """The paper's factor leads the other way, so it was divided by."""

    @property
    def relative(self) -> float:
        """By how much the printed factor is too large, relative."""
        return float(self.printed / self.exact - 1)

    def __str__(self) -> str:
        factor = 1 / self.printed if self.divided else self.printed
        a, b = (self.other, self.unit) if self.divided else (self.unit, self.other)
        text = f"1 {a.symbol} taken as {show(factor)} {b.symbol} ({100 * self.relative:+.2g} %)"
        return f"{text}: {self.note}" if self.note else text


@cache
def printed_factors(unit: str, other: str) -> tuple[PrintedFactor, ...]:
    """Factors that papers turn `unit` into `other` by, nearest to the exact one first.

    Parameters
    ----------
    unit, other : str
        UCUM codes or slugs.

    Returns
    -------
    factors : tuple of PrintedFactor
        Those printed the one way, and those printed the other way and divided by.
    """
    a, b = unit_row(unit), unit_row(other)
    # ata, atue and at are one size, and so is kg to the square centimetre.
    mine, theirs = (a.si_unit, a.factor), (b.si_unit, b.factor)
    exact = a.factor / b.factor
    found = []
    for row in load_rows("units/printed_conversions"):
        one, two = unit_row(row["unit"]), unit_row(row["other_unit"])
        ends = ((one.si_unit, one.factor), (two.si_unit, two.factor))
        factor = Fraction(row["printed"])
        if ends == (mine, theirs):
            divided = False
        elif ends == (theirs, mine):
            divided, factor = True, 1 / factor
        else:
            continue
        found.append(
            PrintedFactor(a, b, factor, exact, row["grade"], row["note"], row["source"], divided)
        )
    found.sort(key=lambda f: abs(f.relative))
    return tuple(found)


def explain_conversion(a: Quantity, b: Quantity) -> tuple[PrintedFactor, ...]:
    """Printed factors by which the number of `a` comes out as that of `b`, to its last place.

    Parameters
    ----------
    a, b : Quantity
        Single values of one kind in two units, in one reference form; `b` with a
        resolution.

    Returns
    -------
    factors : tuple of PrintedFactor
        Best first; empty where none explains it, or nothing can be said. A factor that is
        right to the last place of `b` explains nothing and is left out.

    Examples
    --------
    >>> a = Quantity(Fraction(100), unit="[gal_br]", kind="volume")
    >>> b = Quantity(Fraction(125), unit="[gal_us]", kind="volume", resolution=Fraction(1))
    >>> print(explain_conversion(a, b)[0])
    1 gal (Imp.) taken as 1.25 gal (U.S.) (+4.1 %): an Imperial gallon taken for five U.S. quarts
    """
    x, y, step = a.nominal, b.nominal, b.resolution
    scales = (a.row, b.row)
    if x is None or y is None or not step or a.row.si_unit != b.row.si_unit or a.form != b.form:
        return ()
    if any(r.scale != "linear" or r.has_zero_of_its_own for r in scales) and not (
        a.is_difference and b.is_difference
    ):
        return ()

    def gives(factor: Fraction) -> bool:
        return abs(x * factor - y) <= step / 2

    factors = printed_factors(a.modern_row.slug, b.modern_row.slug)
    if gives(a.modern_row.factor / b.modern_row.factor):
        return ()
    return tuple(f for f in factors if gives(f.printed))
