"""One side of a comparison: printed numbers, their last place, and the way to comparable SI.

Two figures can be set against each other only on one scale. Every printed unit and
reference form is an affine map onto it (``si = factor * number + offset``), exact in
fractions; the offset holds the zero of a temperature scale, the ambient of a gauge
pressure or the datum of a boost.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import lru_cache
from typing import TYPE_CHECKING

from reconcile.errors import UnknownUnitError
from reconcile.measure.units import unit_row
from reconcile.reference import load_rows

if TYPE_CHECKING:
    from reconcile.measure.quantity import Quantity
    from reconcile.records import Figure

STANDARD_PRESSURE = Fraction(101325)
"""Pa, ISO 2533: the sea-level ambient, and the default zero of a boost gauge."""

_ADDED = {"absolute": 0, "gauge": 1, "fixed_datum": 1, "below_ambient": 1}
_TURNED = {"below_ambient": -1}


@dataclass(frozen=True, slots=True)
class Scale:
    """Affine map from a written number to comparable SI."""

    factor: Fraction
    offset: Fraction
    slope: float
    """`factor` as a float, for quick looks."""
    start: float
    """`offset` as a float."""

    def si(self, number: Fraction) -> Fraction:
        """Comparable SI value of `number`."""
        return self.factor * number + self.offset

    def number(self, si: Fraction) -> Fraction:
        """The written number whose comparable SI value is `si`."""
        return (si - self.offset) / self.factor


@dataclass(frozen=True, slots=True)
class Side:
    """What one figure prints, ready to be compared and to be supposed otherwise."""

    ends: tuple[Fraction, ...]
    """One number, or the two ends of a range."""
    place: Fraction
    """Step of the last printed place, in the written unit."""
    unit: str
    kind: str
    form: str
    scale: Scale
    text: str = ""
    """The figure as written."""
    ambient: Fraction = STANDARD_PRESSURE
    datum: Fraction = STANDARD_PRESSURE
    is_difference: bool = False
    _si: tuple[Fraction, ...] = field(default=(), init=False, repr=False, compare=False)

    _half: Fraction | None = field(default=None, init=False, repr=False, compare=False)

    @property
    def si(self) -> tuple[Fraction, ...]:
        """Comparable SI values of the ends, in printed order."""
        if not self._si:
            # Kept: every check asks again, and fractions are slow.
            scale = self.scale
            object.__setattr__(self, "_si", tuple(scale.si(end) for end in self.ends))
        return self._si

    @property
    def half_place(self) -> Fraction:
        """Half the last printed place, in SI."""
        if self._half is None:
            object.__setattr__(self, "_half", abs(self.scale.factor) * self.place / 2)
        return self._half or Fraction(0)

    @property
    def in_order(self) -> tuple[Fraction, ...]:
        """The ends, ascending on the comparable scale (suction counts downwards)."""
        return tuple(sorted(self.ends, key=self.scale.si))

    def relabelled(self, *, unit: str | None = None, form: str | None = None) -> Side:
        """The same numbers under another unit or reference form."""
        unit, form = unit or self.unit, form or self.form
        scale = scale_of(unit, form, self.ambient, self.datum, self.is_difference)
        return replace(self, unit=unit, form=form, scale=scale)

    def renumbered(self, ends: tuple[Fraction, ...], place: Fraction | None = None) -> Side:
        """Other numbers under the same unit and form."""
        return replace(self, ends=ends, place=self.place if place is None else place)


def scale_of(
    unit: str,
    form: str = "none",
    ambient: Fraction = STANDARD_PRESSURE,
    datum: Fraction = STANDARD_PRESSURE,
    is_difference: bool = False,
) -> Scale:
    """The map from numbers in `unit`, counted as `form` says, to comparable SI.

    Parameters
    ----------
    unit : str
        UCUM code or slug of a row of tables/units.
    form : str
        Reference form of a pressure; forms with no known zero are left as they stand.
    ambient, datum : Fraction, [Pa]
        Zero of gauge readings, and of boost readings.
    is_difference : bool
        A temperature difference: the zero of the scale does not count.
    """
    if ambient is STANDARD_PRESSURE and datum is STANDARD_PRESSURE:
        return _standard_scale(unit, form, is_difference)
    return _scale(unit, form, ambient, datum, is_difference)


@lru_cache(maxsize=4096)
def _standard_scale(unit: str, form: str, is_difference: bool) -> Scale:
    # Apart, because hashing the two fractions costs more than the whole map.
    return _scale(unit, form, STANDARD_PRESSURE, STANDARD_PRESSURE, is_difference)


@lru_cache(maxsize=4096)
def _scale(unit: str, form: str, ambient: Fraction, datum: Fraction, is_difference: bool) -> Scale:
    row = unit_row(unit)
    if row.scale != "linear":
        raise UnknownUnitError(f"{unit} is no linear scale", do="compare in another unit")
    factor, offset = Fraction(row.factor), Fraction(row.offset or 0)
    if is_difference:
        offset = Fraction(0)
    if form in _ADDED:
        factor *= _TURNED.get(form, 1)
        offset += _ADDED[form] * (datum if form == "fixed_datum" else ambient)
    return Scale(factor, offset, float(factor), float(offset))


def written_place(number: Fraction, text: str = "") -> Fraction:
    """Last printed place of `number` where its reading did not say: 1, 1/10^k or 1/d."""
    bottom = number.denominator
    if bottom == 1:
        return Fraction(1)
    for power in range(1, 13):
        if 10**power % bottom == 0 and "/" not in text:
            return Fraction(1, 10**power)
    return Fraction(1, bottom)


def ends_of(quantity: Quantity) -> tuple[Fraction, ...]:
    """The number, or the two ends, that a quantity states; empty where it states none.

    A one-sided tolerance counts as its range; a symmetric one as the two ends it spans.
    """
    nominal, lo, hi = quantity.nominal, quantity.lo, quantity.hi
    if lo is not None and hi is not None:
        return (lo, hi)
    if nominal is not None and quantity.plus_minus:
        return (nominal - quantity.plus_minus, nominal + quantity.plus_minus)
    one = next((n for n in (nominal, lo, hi) if n is not None), None)
    return () if one is None else (one,)


def side_of(
    figure: Figure, *, ambient: Fraction = STANDARD_PRESSURE, form: str | None = None
) -> Side | None:
    """`figure` as a side, or None where no number was read or its unit is unknown."""
    quantity = figure.quantity
    return side_of_quantity(quantity, text=figure.as_written, ambient=ambient, form=form)


def side_of_quantity(
    quantity: Quantity,
    *,
    text: str = "",
    ambient: Fraction = STANDARD_PRESSURE,
    form: str | None = None,
) -> Side | None:
    """`quantity` as a side, or None where it has no number or no known unit."""
    ends = ends_of(quantity)
    if not ends or not quantity.unit:
        return None
    form = form or quantity.form
    datum = datum_pressure(quantity.datum)
    try:
        # The kind tells units of one code apart: "1" is a ratio, or a specific gravity.
        unit = unit_row(quantity.unit_slug or quantity.unit, kind=quantity.kind).slug
        scale = scale_of(unit, form, ambient, datum, quantity.is_difference)
    except UnknownUnitError:
        return None
    place = quantity.resolution or min(written_place(end, text) for end in ends)
    return Side(
        ends=ends,
        place=place,
        unit=unit,
        kind=quantity.kind,
        form=form,
        scale=scale,
        text=text,
        ambient=ambient,
        datum=datum,
        is_difference=quantity.is_difference,
    )


@lru_cache(maxsize=64)
def datum_pressure(slug: str) -> Fraction:
    """Pressure [Pa] of a row of tables/units/datums; the standard atmosphere for blank."""
    for row in load_rows("units/datums"):
        if row["slug"] == slug:
            return Fraction(row["pressure"])
    return STANDARD_PRESSURE


def ambient_at(height_m: float | None) -> Fraction:
    """Standard ambient pressure [Pa] at a geopotential height; sea level where None."""
    if not height_m:
        return STANDARD_PRESSURE
    from reconcile.measure.atmosphere import isa

    return Fraction(float(isa(float(height_m)).pressure))
