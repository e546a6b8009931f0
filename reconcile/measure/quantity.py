"""What a figure measures: exact numbers in the written unit, and the way to SI.

The numbers are fractions and the factors are fractions, so a figure is as exact here as it
was on paper; binary floats appear only in the answers, each the nearest one to the exact
value.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import sqrt
from typing import TYPE_CHECKING

from reconcile.errors import MeasureError, ReferenceFormError
from reconcile.measure.ambient import Ambient, ambient_at
from reconcile.measure.combine import add, multiply, subtract
from reconcile.measure.pressure import Values, change_form, form_line
from reconcile.measure.units import UnitRow, unit_row
from reconcile.records import Form

if TYPE_CHECKING:
    from reconcile.measure.budget import Budget

_SQRT3 = sqrt(3.0)
_ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class SiValue:
    """A figure in SI, in the reference form named.

    Ends of a range are ascending in the form's own sense. Any of the numbers may be None:
    all of them where the figure was not read.
    """

    nominal: float | None
    lo: float | None
    hi: float | None
    half_width: float | None
    """Half the step of the last printed place: the number could be off by so much and
    print the same. None where the resolution is not known."""
    standard_uncertainty: float | None
    """Of the number as printed, from its rounding, the factor, and whatever zero was
    brought in; a printed tolerance is no part of it. None where nothing is known."""
    unit: str
    reference_form: Form


@dataclass(frozen=True, slots=True)
class Quantity:
    """What a figure measures, in the written unit.

    Parameters
    ----------
    nominal, lo, hi, plus_minus : Fraction or None, in `unit`
        A single value, the ends of a range, a symmetric tolerance. All None: not read.
    unit : str
        UCUM code.
    kind : str
        Quantity kind.
    form : str
        Reference form of a pressure.
    resolution : Fraction or None, in `unit`
        Step of the last printed place or fraction.
    datum : str
        Slug of the datum a "fixed_datum" pressure counts from; blank for the default.
    year, country
        Year and country (or tradition) of the paper: they choose the definition of the
        unit.
    unit_slug : str
        Slug of the unit row, where the code alone does not tell it.
    is_difference : bool
        A difference of two temperatures.
    partner : str
        What a "differential" pressure is counted from: "ambient", or blank if not known.
    height_m : Fraction or None, [m]
        Geopotential height the paper states for it; the air around is taken there where no
        other is given.
    """

    nominal: Fraction | None = None
    lo: Fraction | None = None
    hi: Fraction | None = None
    plus_minus: Fraction | None = None
    unit: str = "1"
    kind: str = "other"
    form: Form = "none"
    resolution: Fraction | None = None
    datum: str = ""
    year: int | None = None
    unit_slug: str = ""
    is_difference: bool = False
    country: str = ""
    partner: str = ""
    height_m: Fraction | None = None

    @property
    def is_read(self) -> bool:
        """False where no number could be read."""
        return not (self.nominal is None and self.lo is None and self.hi is None)

    @property
    def row(self) -> UnitRow:
        """The unit row, by the definition of the figure's year and country."""
        return unit_row(
            self.unit_slug or self.unit, year=self.year, country=self.country, kind=self.kind
        )

    @property
    def modern_row(self) -> UnitRow:
        """The unit row by today's definition."""
        return unit_row(self.unit_slug or self.unit, kind=self.kind)

    @property
    def ends(self) -> tuple[Fraction | None, Fraction | None]:
        """Ends of what the figure allows, in the written unit: its range or its tolerance."""
        if self.plus_minus is not None and self.nominal is not None:
            lo = self.nominal - self.plus_minus if self.lo is None else self.lo
            hi = self.nominal + self.plus_minus if self.hi is None else self.hi
            return lo, hi
        return self.lo, self.hi

    @property
    def si(self) -> SiValue:
        """The figure in SI, in its own reference form."""
        row = self.row
        if row.scale != "linear":
            return self._si_of(*self.exact_si(), self.form)
        return self._on_line(row, 1, _ZERO if self.is_difference else row.offset, self.form)

    def _on_line(self, row: UnitRow, sign: int, shift: Fraction, form: Form) -> SiValue:
        """The answer ``sign x factor x number + shift``, each the nearest float.

        The integers are multiplied out and divided once: the quotient of two integers is
        the nearest float, and no common divisors need be found on the way.
        """
        top, bottom = row.factor.numerator, row.factor.denominator
        signed_top = sign * top
        add, add_by = shift.numerator, shift.denominator
        lo, hi = self.lo, self.hi
        if self.plus_minus is not None:
            lo, hi = self.ends

        def convert(x: Fraction | None) -> float | None:
            if x is None:
                return None
            over = x.denominator * bottom
            if add:
                return (x.numerator * signed_top * add_by + add * over) / (over * add_by)
            return x.numerator * signed_top / over

        half = u = None
        if self.resolution is not None:
            step = self.resolution
            half = step.numerator * top / (2 * step.denominator * bottom)
            u = half / _SQRT3
        if row.u_rel:
            size = self._size()
            if size is not None:
                u = _root_sum(u, float(size) * row.u_rel)
        if sign < 0:
            lo, hi = hi, lo  # more suction, less pressure
        return SiValue(convert(self.nominal), convert(lo), convert(hi), half, u, row.si_unit, form)

    def exact_si(self) -> Values:
        """Nominal value and ends in SI, in the figure's own form, as exact fractions."""
        row = self.row
        lo, hi = self.ends
        values = [
            None if x is None else row.to_si(x, difference=self.is_difference)
            for x in (self.nominal, lo, hi)
        ]
        if row.scale == "reciprocal" and row.factor > 0:
            values[1], values[2] = values[2], values[1]  # more degrees API, less density
        return values[0], values[1], values[2]

    def exact_half_width(self) -> Fraction | None:
        """Half the last printed step in SI, exact; None where it is not known."""
        if self.resolution is None:
            return None
        lo, hi = self.ends
        at = next((x for x in (self.nominal, hi, lo) if x is not None), Fraction(0))
        return self.row.slope(at) * self.resolution / 2

    def _size(self) -> Fraction | None:
        """Largest number of the figure, without the scale's zero, in SI."""
        lo, hi = self.ends
        numbers = [abs(x) for x in (self.nominal, lo, hi) if x is not None]
        if not numbers:
            return None
        if self.row.scale == "linear":
            return max(numbers) * self.row.factor
        return max(self.row.to_si(x) for x in numbers)

    def _si_of(
        self,
        nominal: Fraction | None,
        lo: Fraction | None,
        hi: Fraction | None,
        form: Form,
        zero_half_width: Fraction = Fraction(0),
    ) -> SiValue:
        """The answer as floats, with the uncertainty of the number and of its zero."""
        half = self.exact_half_width()
        u = None if half is None else float(half) / _SQRT3
        size = self._size()
        if self.row.u_rel and size is not None:
            u = _root_sum(u, float(size) * self.row.u_rel)
        if zero_half_width:
            u = _root_sum(u, float(zero_half_width) / _SQRT3)
        n, low, high, width = (None if x is None else float(x) for x in (nominal, lo, hi, half))
        return SiValue(n, low, high, width, u, self.row.si_unit, form)

    def absolute(self, height_m: float | None = None, *, ambient: Ambient | None = None) -> SiValue:
        """The pressure as an absolute one.

        Parameters
        ----------
        height_m : float, optional, [m]
            Geopotential height in the standard atmosphere, for the forms that count from
            the air around; by default the height stated with the figure, if any.
        ambient : Ambient, optional
            The air around, where it is known better; overrules `height_m`.

        Returns
        -------
        value : SiValue, [Pa]

        Raises
        ------
        AmbientNeededError
            The pressure of the air around is needed and not given.
        ReferenceFormError
            Not a pressure, or of a form that has no zero or none that is known.
        OutOfRangeError
            The height is outside the atmosphere, or the pressure would be below vacuum.
        """
        return self._in_form("absolute", height_m, ambient)

    def gauge(self, height_m: float | None = None, *, ambient: Ambient | None = None) -> SiValue:
        """The pressure over the air around; below it, negative. As `absolute`."""
        return self._in_form("gauge", height_m, ambient)

    def in_form(
        self,
        form: Form,
        height_m: float | None = None,
        *,
        ambient: Ambient | None = None,
        datum: str = "",
    ) -> SiValue:
        """The pressure in any reference form that has a zero. As `absolute`."""
        return self._in_form(form, height_m, ambient, datum)

    def _in_form(
        self, form: Form, height_m: float | None, ambient: Ambient | None, datum: str = ""
    ) -> SiValue:
        row = self.row
        if row.si_unit != "Pa" or row.scale != "linear":
            values, half_width = self.exact_in_form(form, height_m, ambient=ambient, datum=datum)
            return self._si_of(*values, form, half_width)
        ambient = self._air(height_m, ambient)
        line = form_line(
            self.form,
            form,
            datum=self.datum,
            to_datum=datum or (self.datum if form == self.form else ""),
            ambient=ambient,
            beside_ambient=self.partner == "ambient",
        )
        si = self._on_line(row, line.sign, line.shift, form)
        if line.sense:
            for x in (si.nominal, si.lo, si.hi):
                # Near vacuum the exact fractions decide, and say what is wrong.
                if x is not None and (x - line.vacuum) * line.sense < 1e-3:
                    self.exact_in_form(form, ambient=ambient, datum=datum)
        if line.half_width:
            u = _root_sum(si.standard_uncertainty, float(line.half_width) / _SQRT3)
            return SiValue(si.nominal, si.lo, si.hi, si.half_width, u, si.unit, form)
        return si

    def _air(self, height_m: float | None, ambient: Ambient | None) -> Ambient | None:
        """The air around: given, else at the height given, else at the height stated."""
        if ambient is not None:
            return ambient
        if height_m is None:
            height_m = None if self.height_m is None else float(self.height_m)
        return None if height_m is None else ambient_at(height_m)

    def exact_in_form(
        self,
        form: Form,
        height_m: float | None = None,
        *,
        ambient: Ambient | None = None,
        datum: str = "",
    ) -> tuple[Values, Fraction]:
        """Nominal value and ends [Pa] in a reference form, exact, and the half-width [Pa]
        of the zeros brought in. Raises as `absolute`."""
        if self.row.si_unit != "Pa":
            raise ReferenceFormError(
                f"{self} is not a pressure, and has no reference form", expected="a pressure"
            )
        ambient = self._air(height_m, ambient)
        return change_form(
            self.exact_si(),
            self.form,
            form,
            datum=self.datum,
            to_datum=datum or (self.datum if form == self.form else ""),
            ambient=ambient,
            beside_ambient=self.partner == "ambient",
        )

    def to(
        self,
        unit: str,
        form: Form | None = None,
        height_m: float | None = None,
        *,
        ambient: Ambient | None = None,
        datum: str = "",
    ) -> Quantity:
        """The same quantity in another unit and, for a pressure, another reference form.

        Parameters
        ----------
        unit : str
            UCUM code or slug; today's definition of it.
        form : str, optional
            Reference form wanted; the figure's own by default.
        height_m, ambient, datum
            As for `absolute`; `datum` is the one wanted where `form` is "fixed_datum".

        Returns
        -------
        quantity : Quantity
            Numbers exact. The resolution is carried over: the number is no better known.

        Raises
        ------
        MeasureError
            The units do not convert into each other.
        AmbientNeededError, ReferenceFormError, OutOfRangeError
            As `absolute`.
        """
        there = unit_row(unit)
        if there.si_unit != self.row.si_unit:
            if unit_row(unit, kind=self.kind).si_unit != self.row.si_unit:
                raise MeasureError(
                    f"{self.row.symbol or self.unit} does not convert to {there.symbol or unit}",
                    expected=f"a unit of {self.row.si_unit}",
                )
            there = unit_row(unit, kind=self.kind)
        if form is None or (form == self.form and not datum):
            form, values = self.form, self.exact_si()
        else:
            values, _ = self.exact_in_form(form, height_m, ambient=ambient, datum=datum)
        numbers = [
            None if v is None else there.from_si(v, difference=self.is_difference) for v in values
        ]
        if there.scale == "reciprocal" and there.factor > 0:
            numbers[1], numbers[2] = numbers[2], numbers[1]
        half = self.exact_half_width()
        at = next((x for x in numbers if x is not None), Fraction(0))
        no_range = self.lo is None and self.hi is None
        return replace(
            self,
            nominal=numbers[0],
            lo=None if no_range else numbers[1],
            hi=None if no_range else numbers[2],
            plus_minus=None
            if self.plus_minus is None or numbers[2] is None or numbers[0] is None
            else abs(numbers[2] - numbers[0]),
            unit=there.ucum or there.slug,
            unit_slug=there.slug,
            form=form,
            datum=(datum or self.datum) if form == "fixed_datum" else "",
            resolution=None if half is None else 2 * half / there.slope(at),
            year=None,
            country="",
            partner=self.partner if form == "differential" else "",
        )

    def budget(
        self,
        form: Form | None = None,
        height_m: float | None = None,
        *,
        ambient: Ambient | None = None,
    ) -> Budget:
        """Uncertainty budget of the figure in SI; see `reconcile.measure.budget`."""
        from reconcile.measure.budget import budget_of

        return budget_of(self, form, height_m, ambient=ambient)

    def __add__(self, other: Quantity) -> Quantity:
        """Sum, where it means something; see `reconcile.measure.combine.add`."""
        return add(self, other) if isinstance(other, Quantity) else NotImplemented

    def __sub__(self, other: Quantity) -> Quantity:
        """Difference; see `reconcile.measure.combine.subtract`."""
        return subtract(self, other) if isinstance(other, Quantity) else NotImplemented

    def __mul__(self, k: int | Fraction) -> Quantity:
        """Multiple by an exact number; see `reconcile.measure.combine.multiply`."""
        return multiply(self, k) if isinstance(k, int | Fraction) else NotImplemented

    __rmul__ = __mul__

    def __str__(self) -> str:
        """The figure for a message: numbers as written, symbol of the unit."""
        symbol = self.row.symbol
        lo, hi = self.lo, self.hi
        if self.nominal is not None:
            text = show(self.nominal, signed=self.form == "fixed_datum")
            if self.plus_minus is not None:
                text += f" ± {show(self.plus_minus)}"
            elif lo is not None and hi is not None:
                text += f" ({show(lo)} to {show(hi)})"
        elif lo is not None and hi is not None:
            text = f"{show(lo)} to {show(hi)}"
        elif hi is not None:
            text = f"up to {show(hi)}"
        elif lo is not None:
            text = f"{show(lo)} or more"
        else:
            text = "(not read)"
        return f"{text} {symbol}".rstrip()


def show(x: Fraction, *, signed: bool = False) -> str:
    """A written number as plain decimals: exact where they end, else seven digits."""
    rest = x.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    if rest == 1 and x.denominator < 10**7:
        places = 0
        while (x * 10**places).denominator != 1:
            places += 1
        text = f"{abs(int(x * 10**places)):0{places + 1}d}"
        text = text[:-places] + "." + text[-places:] if places else text
    else:
        text = f"{abs(float(x)):.7g}"
    sign = "-" if x < 0 else "+" if signed and x > 0 else ""
    return sign + text


def _root_sum(u: float | None, v: float) -> float:
    return abs(v) if u is None else sqrt(u * u + v * v)
