"""Equivalents in modern units, rounded so that no limit grows by it.

A maximum is rounded down, a minimum up, a range inwards; only a nominal or approximate value
is rounded to the nearest, and says so. The step is the largest power of ten that does not
exceed a quarter of the printed step, so that rounding adds little to the paper's own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from math import floor, log10
from typing import TYPE_CHECKING

from reconcile.errors import EmptyRangeError, MeasureError
from reconcile.measure.datums import find_datum
from reconcile.measure.display import FORM_WORDS
from reconcile.measure.rounding import round_down, round_inwards, round_nearest, round_up
from reconcile.measure.units import UnitRow, equivalents, unit_row
from reconcile.records import Figure, Form

if TYPE_CHECKING:
    from reconcile.measure.quantity import Quantity

MOST_UNITS = 3
"""Units given for each reference form; the table of units lists more for those who ask."""
_FIGURES_WITHOUT_RESOLUTION = 4
_MOST_FINER_STEPS = 12
_EASY = (0.5, 20_000.0)
"""Numbers easy to read."""
_PLAIN = frozenset({"s", "1"})
"""SI units whose figures say themselves: a clock and a bare number need no other unit."""
_ONE = Fraction(1)
_SHARE = Fraction(1, 4)
"""Most of the printed step that rounding may cost."""
ROUNDINGS = ("down", "up", "inwards", "nearest", "exact")


@dataclass(frozen=True, slots=True)
class Equivalent:
    """One value in a modern unit, exact multiples of `step`."""

    unit: str
    symbol: str
    form: Form
    nominal: Fraction | None
    lo: Fraction | None
    hi: Fraction | None
    step: Fraction
    rounded: str

    def __str__(self) -> str:
        return f"{self.number} {self.symbol} {FORM_WORDS[self.form]}".rstrip()

    @property
    def number(self) -> str:
        """The value or range, with the decimals of its step."""
        signed = self.form == "fixed_datum"

        def text(x: Fraction) -> str:
            return _decimal(x, self.step, signed)

        ends = [text(x) for x in (self.lo, self.hi) if x is not None]
        if self.nominal is not None:
            head = text(self.nominal)
            return f"{head} ({' to '.join(ends)})" if len(ends) == 2 else head
        return " to ".join(ends)


def _decimal(x: Fraction, step: Fraction, signed: bool) -> str:
    """A multiple of `step` with the decimals of the step, exact."""
    places = max(0, -_decade(step))
    scaled = round(abs(x) * 10**places)
    whole, rest = divmod(scaled, 10**places)
    text = f"{whole:,}".replace(",", " ") + (f".{rest:0{places}d}" if places else "")
    return ("-" if x < 0 else "+" if signed and x > 0 else "") + text


@lru_cache(maxsize=1024)
def _decade(x: Fraction) -> int:
    """The power of ten at or below x > 0, exact."""
    power = floor(log10(x))
    while Fraction(10) ** power > x:
        power -= 1
    while Fraction(10) ** (power + 1) <= x:
        power += 1
    return power


@lru_cache(maxsize=1024)
def safe_step(resolution: Fraction | None, size: Fraction) -> Fraction:
    """Step to round an equivalent to.

    Parameters
    ----------
    resolution : Fraction or None
        Printed step, in the new unit.
    size : Fraction
        The number itself, for figures whose printed step is not known.

    Returns
    -------
    step : Fraction, a power of ten
    """
    if resolution:
        return Fraction(10) ** _decade(abs(resolution) * _SHARE)
    if size:
        return Fraction(10) ** (_decade(abs(size)) - _FIGURES_WITHOUT_RESOLUTION + 1)
    return Fraction(1)


@lru_cache(maxsize=1024)
def _line(
    here: str,
    kind: str,
    year: int | None,
    country: str,
    difference: bool,
    form: Form,
    datum: str,
    there: str,
    new_form: Form,
) -> tuple[Fraction, Fraction] | None:
    """The exact a and b of ``new = a x + b``; None where the way is not a straight line.

    One figure's way through `Quantity.to` is that line worked out anew each time; a table
    has thousands of figures and a few dozen lines.
    """
    old, new = unit_row(here, year=year, country=country, kind=kind), unit_row(there)
    if old.scale != "linear" or new.scale != "linear" or old.factor <= 0 or new.factor <= 0:
        return None
    zero = Fraction(0) if difference else old.offset - new.offset
    if new_form != form:
        if (form, new_form) != ("fixed_datum", "absolute"):
            return None
        zero += find_datum(datum).pressure
    return old.factor / new.factor, zero / new.factor


Numbers = tuple[Fraction | None, Fraction | None, Fraction | None]
"""Nominal value, lower end, upper end."""


def _in_unit(
    quantity: Quantity, unit: UnitRow, form: Form
) -> tuple[Numbers, Fraction | None] | None:
    """Numbers and resolution in another unit; None for a pressure below vacuum."""
    q = quantity
    line = _line(
        q.unit_slug or q.unit,
        q.kind,
        q.year,
        q.country,
        q.is_difference,
        q.form,
        q.datum,
        unit.slug,
        form,
    )
    if line is None:
        there = q.to(unit.slug, None if form == q.form else form)
        return (there.nominal, *there.ends), there.resolution
    a, b = line
    lo, hi = q.ends
    numbers = tuple(None if x is None else a * x + b for x in (q.nominal, lo, hi))
    if form == "absolute" and any(x is not None and x < 0 for x in numbers):
        return None
    return numbers, None if q.resolution is None else a * q.resolution  # type: ignore[return-value]


def _turns(quantity: Quantity, unit: UnitRow) -> bool:
    """True where more on the written scale is less on the new one (degrees API, Baumé)."""
    rows = (quantity.row, unit)
    return sum(row.scale == "reciprocal" and row.factor > 0 for row in rows) == 1


def round_safely(numbers: Numbers, bound: str, step: Fraction) -> tuple[Numbers, str]:
    """Nominal value, lower and upper end rounded to `step` so that no limit grows.

    Parameters
    ----------
    numbers : (nominal, lo, hi), each a Fraction or None
    bound : str
        "max", "min", "range", "nominal" or "approx".
    step : Fraction

    Returns
    -------
    numbers : (nominal, lo, hi)
    rounded : str
        "down", "up", "inwards", "nearest" or "exact".

    Raises
    ------
    EmptyRangeError
        Rounding inwards leaves nothing of a range.
    """
    nominal, lo, hi = numbers
    if all((x / step).denominator == 1 for x in numbers if x is not None):
        return numbers, "exact"
    if bound in ("max", "min"):
        one = round_down if bound == "max" else round_up
        rounded = tuple(None if x is None else one(x, step) for x in numbers)
        return rounded, "down" if bound == "max" else "up"  # type: ignore[return-value]
    way = "nearest" if lo is None and hi is None else "inwards"
    if lo is not None and hi is not None:
        lo, hi = round_inwards(lo, hi, step)
    else:
        lo = None if lo is None else round_up(lo, step)
        hi = None if hi is None else round_down(hi, step)
    if nominal is not None:
        nominal = round_nearest(nominal, step)
        nominal = nominal if lo is None else max(nominal, lo)
        nominal = nominal if hi is None else min(nominal, hi)
    return (nominal, lo, hi), way


def _equivalent(quantity: Quantity, unit: UnitRow, form: Form, bound: str) -> Equivalent | None:
    there = _in_unit(quantity, unit, form)
    if there is None:
        return None
    numbers, resolution = there
    if _turns(quantity, unit):
        bound = {"max": "min", "min": "max"}.get(bound, bound)
    if resolution:
        step = safe_step(resolution, _ONE)
    else:
        step = safe_step(None, max(abs(x) for x in numbers if x is not None))
    for _ in range(_MOST_FINER_STEPS):
        try:
            rounded, way = round_safely(numbers, bound, step)
        except EmptyRangeError:
            step /= 10
            continue
        return Equivalent(unit.ucum or unit.slug, unit.symbol, form, *rounded, step, way)
    return None


def equivalents_of(
    quantity: Quantity, bound: str, units: Sequence[str] = ()
) -> tuple[Equivalent, ...]:
    """A figure in modern units, rounded to the safe side.

    Parameters
    ----------
    quantity : Quantity
    bound : str
        What the figure bounds: "max", "min", "range", "nominal" or "approx".
    units : sequence of str, optional
        UCUM codes or slugs wanted; those that do not fit the quantity are left out. By
        default the first few of ``tables/units/equivalents.csv``.

    Returns
    -------
    tuple of Equivalent
        In the figure's own reference form and, for boost, absolute as well. Empty where the
        figure was not read.

    Raises
    ------
    UnknownUnitError
        One of `units` is no unit.
    """
    return _equivalents(quantity, bound, tuple(units))


@lru_cache(maxsize=8192)
def _equivalents(quantity: Quantity, bound: str, units: tuple[str, ...]) -> tuple[Equivalent, ...]:
    wanted = [unit_row(unit) for unit in units]
    if not quantity.is_read or not (quantity.unit or quantity.unit_slug):
        return ()
    forms: list[Form] = [quantity.form]
    if quantity.form == "fixed_datum":
        forms.append("absolute")
    found = []
    si_unit = quantity.row.si_unit
    try:
        quantity.exact_si()
    except MeasureError:
        return ()  # a reading its own scale cannot have
    for form in forms:
        if units:
            rows = [row for row in wanted if row.si_unit == si_unit]
        else:
            rows = [] if si_unit in _PLAIN else _usual_units(quantity, form)
        for row in rows:
            try:
                one = _equivalent(quantity, row, form, bound)
            except MeasureError:
                continue  # a reading this scale cannot have
            if one is not None:
                found.append(one)
    return tuple(found)


@lru_cache(maxsize=256)
def _choices(si_unit: str, form: Form) -> tuple[tuple[UnitRow, float, int], ...]:
    """Usual units, each with its size in SI and the family of its thousandfolds."""
    families: list[Fraction] = []
    out = []
    for row in equivalents(si_unit, form):
        factor = abs(row.factor)
        akin = (n for n, other in enumerate(families) if _thousandfold(factor, other))
        family = next(akin, len(families))
        if family == len(families):
            families.append(factor)
        out.append((row, float(factor), family))
    return tuple(out)


def _thousandfold(a: Fraction, b: Fraction) -> bool:
    return max(a, b) / min(a, b) in (1, 1000, 1_000_000)


def _usual_units(quantity: Quantity, form: Form) -> list[UnitRow]:
    """The first few usual units in which the figure is a number easy to read.

    Its own unit is none of them, nor is one a thousand times another; where none is easy to
    read, the first few are taken as they come.
    """
    own = quantity.row.slug if form == quantity.form else ""
    size = max(abs(float(x)) for x in quantity.exact_si() if x is not None)
    if form != quantity.form:
        size += float(find_datum(quantity.datum).pressure)
    choices = [choice for choice in _choices(quantity.row.si_unit, form) if choice[0].slug != own]
    chosen: dict[int, UnitRow] = {}
    for row, factor, family in choices:
        easy = size == 0 or row.offset or _EASY[0] <= size / factor < _EASY[1]
        if easy and family not in chosen:
            chosen[family] = row
            if len(chosen) == MOST_UNITS:
                break
    return list(chosen.values()) or [row for row, _, _ in choices[:MOST_UNITS]]


def figure_equivalents(figure: Figure, bound: str) -> tuple[Equivalent, ...]:
    """Equivalents of a figure as issued: none where it may be another figure altogether."""
    if figure.status in ("unread", "ambiguous"):
        return ()
    return equivalents_of(figure.quantity, bound)
