"""Whole columns of figures to SI at array speed, with the answers of the scalar path.

A conversion with its reference form is one multiplication and one addition, whatever the
units: the two numbers are worked out exactly from the rows and rounded once, then run over
the column in blocks that stay in the processor's cache. No objects, no units package.

What the scalar path gives is the nearest float to the exact value. Here each answer is

    a x + c,  within  2**-53 (2 |a x| + |c| + |a x + c|)

of the exact one, `a` and `c` being the nearest floats to the exact factor and zero: without
a zero to add, that is 1.5 units in the last place, and mostly none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import sqrt
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from reconcile.errors import OutOfRangeError, ReferenceFormError, UsageError
from reconcile.measure.ambient import Ambient, ambient_at
from reconcile.measure.column_loops import Floats, Line, run_line
from reconcile.measure.constants import constant
from reconcile.measure.pressure import check_form, form_line
from reconcile.measure.units import UnitRow, unit_row
from reconcile.records import Form

_HALF_STEP_TO_U = 1.0 / (2.0 * sqrt(3.0))


@dataclass(frozen=True, slots=True)
class SiColumn:
    """A column of figures in SI."""

    value: Floats
    u: Floats | None
    """Standard uncertainty, shaped like `value`; None where none was given and every
    factor and zero is exact."""
    unit: str
    form: Form | None
    """Reference form of all of them; None for a column of mixed forms, kept as they were."""


def column_to_si(
    values: ArrayLike,
    *,
    unit: str | Sequence[str],
    u: ArrayLike | None = None,
    resolution: ArrayLike | None = None,
    kind: str | None = None,
    form: Form | Sequence[Form] = "none",
    to_form: Form | None = None,
    datum: str = "",
    height_m: ArrayLike | None = None,
    ambient: Ambient | None = None,
    year: int | None = None,
    country: str | None = None,
    difference: bool = False,
    unread: bool = False,
) -> SiColumn:
    """A column of figures in SI, each in its own or in one reference form.

    Parameters
    ----------
    values : array of any shape, in `unit`
    unit : str, or sequence of str shaped like `values`
        UCUM codes or slugs. All have to be of one SI unit.
    u : float or array shaped like `values`, optional, in `unit`
        Standard uncertainty of the numbers.
    resolution : float or array shaped like `values`, optional, in `unit`
        Printed step instead of `u`: taken for rectangular, half a step either side.
    kind, year, country
        As for `unit_row`.
    form : str, or sequence of str shaped like `values`
        Reference form of the pressures.
    to_form : str, optional
        Reference form wanted; by default each keeps its own.
    datum : str
        Datum of the "fixed_datum" figures, or the one wanted.
    height_m : float or array shaped like `values`, optional, [m]
        Geopotential height, for the air around.
    ambient : Ambient, optional
        The air around, one for all; overrules `height_m`.
    difference : bool
        The values are differences of temperatures.
    unread : bool
        Not-a-number stands for a figure that was not read, and stays. Otherwise it is an
        error.

    Returns
    -------
    column : SiColumn
        Arrays shaped like `values`.

    Raises
    ------
    UnknownUnitError
        A code that is none.
    UsageError
        Shapes that do not match, units of different SI units, both `u` and `resolution`.
    OutOfRangeError
        Not a finite number, or a pressure below vacuum; names the first index.
    AmbientNeededError, ReferenceFormError
        As `Quantity.absolute`.

    Examples
    --------
    >>> column_to_si([8.0, 9.0], unit="[psi]", form="fixed_datum", to_form="absolute").value
    array([156483.05834535, 163377.81563852])
    """
    x = _array(values, "the values")
    if u is not None and resolution is not None:
        raise UsageError("both an uncertainty and a resolution", expected="one of the two")
    given = resolution if u is None else u
    u_in = None if given is None else _like(given, x, "the uncertainties")
    if u is None and u_in is not None:
        u_in = u_in * _HALF_STEP_TO_U
    if u_in is not None:
        _check_uncertainties(u_in, unread)
    air = _air(x, height_m, ambient)
    codes, units = _grouped(unit, x, "the units")
    kinds, forms = _grouped(form, x, "the reference forms")
    rows = [unit_row(code, year=year, country=country, kind=kind) for code in units]
    for row in rows[1:]:
        if row.si_unit != rows[0].si_unit:
            raise UsageError(
                f"{rows[0].name} and {row.name} in one column",
                expected=f"units of {rows[0].si_unit}",
            )
    flat = x.reshape(-1)
    out = np.empty(flat.shape)
    if u_in is not None and u_in.ndim:
        u_in = u_in.reshape(-1)
    u_out = None if u_in is None else np.empty(flat.shape)
    for i, row in enumerate(rows):
        for j, own in enumerate(forms):
            at = _members(codes, i, kinds, j)
            if at is not None and not at.size:
                continue
            line = _line_of(row, own, to_form, air, at, datum, difference)
            if u_out is None and (line.u_a or line.u_c or line.air is not None):
                u_in, u_out = np.zeros(()), np.zeros(flat.shape)
            if at is None:
                run_line(flat, u_in, line, out, u_out, unread)
                continue
            u_here = u_in if u_in is None or not u_in.ndim else u_in[at]
            part = np.empty(at.shape)
            u_part = None if u_here is None else np.empty(at.shape)
            run_line(flat[at], u_here, line, part, u_part, unread, at)
            out[at] = part
            if u_part is not None and u_out is not None:
                u_out[at] = u_part
    result = to_form or (check_form(forms[0]) if len(forms) == 1 else None)
    u_shaped = None if u_out is None else u_out.reshape(x.shape)
    return SiColumn(out.reshape(x.shape), u_shaped, rows[0].si_unit, result)


def column_from_si(
    values: ArrayLike, unit: str, *, kind: str | None = None, difference: bool = False
) -> Floats:
    """Readings in a unit of a column of SI values; the inverse of `column_to_si`.

    Parameters
    ----------
    values : array of any shape, in the unit's SI unit
    unit : str

    Returns
    -------
    readings : array shaped like `values`, in `unit`
    """
    x = _array(values, "the values")
    row = unit_row(unit, kind=kind)
    if row.scale == "reciprocal":
        readings: Floats = float(row.factor) / x - float(row.offset)
        return readings
    a = float(1 / row.factor)
    c = 0.0 if difference else -float(row.offset / row.factor)
    return x * a + c if c else x * a


def _array(values: ArrayLike, what: str) -> Floats:
    try:
        return np.asarray(values, dtype=np.float64)
    except (TypeError, ValueError):
        raise UsageError(f"{what} are not all numbers", expected="an array of numbers") from None


def _like(values: ArrayLike, x: Floats, what: str) -> Floats:
    y = _array(values, what)
    if y.ndim and y.shape != x.shape:
        raise UsageError(f"{what} have shape {y.shape}", expected=f"one number, or shape {x.shape}")
    return y


def _check_uncertainties(u: Floats, unread: bool) -> None:
    if not u.size or u.min() >= 0.0:
        return
    bad = u < 0.0 if unread else ~(u >= 0.0)
    if bad.any():
        first = int(np.flatnonzero(bad)[0])
        raise OutOfRangeError(
            f"an uncertainty of {u.reshape(-1)[first]:g}",
            where=f"index {first}",
            expected="zero or more",
        )


def _grouped(
    names: str | Sequence[str], x: Floats, what: str
) -> tuple[NDArray[np.intp] | None, list[str]]:
    """Number of each figure's group (None for one group) and the name of each group."""
    if isinstance(names, str):
        return None, [names]
    import pandas as pd

    labels: Any = names
    if not isinstance(names, pd.Series | pd.Index | pd.Categorical):
        labels = np.asarray(names, dtype=object).reshape(-1)
    codes, distinct = pd.factorize(labels)
    if codes.size != x.size:
        raise UsageError(f"{what} are {codes.size}", expected=f"one, or as many as {x.size}")
    if codes.size and codes.min() < 0:
        raise UsageError(f"{what} have a blank at {int(np.argmin(codes))}")
    return (None if len(distinct) == 1 else codes), [str(name) for name in distinct]


def _members(
    codes: NDArray[np.intp] | None, i: int, kinds: NDArray[np.intp] | None, j: int
) -> NDArray[np.intp] | None:
    """Places of the figures of one unit and form; None where it is all of them."""
    if codes is None:
        return None if kinds is None else np.flatnonzero(kinds == j)
    here = codes == i
    return np.flatnonzero(here if kinds is None else here & (kinds == j))


def _air(x: Floats, height_m: ArrayLike | None, ambient: Ambient | None) -> Ambient | Floats | None:
    """The air around: one for all, or pressures shaped like `x` [Pa]."""
    if ambient is not None or height_m is None:
        return ambient
    heights = _like(height_m, x, "the heights")
    if not heights.ndim:
        return ambient_at(float(heights))
    from reconcile.measure.atmosphere import isa

    pressures: Floats = isa(heights).pressure.reshape(-1)
    return pressures


def _line_of(
    row: UnitRow,
    form: str,
    to_form: Form | None,
    air: Ambient | Floats | None,
    at: NDArray[np.intp] | None,
    datum: str,
    difference: bool,
) -> Line:
    """The line for one unit and form."""
    u_a = row.u_rel
    offset = Fraction(0) if difference or row.scale != "linear" else row.offset
    own = check_form(form)
    if row.si_unit != "Pa":
        if to_form not in (None, "none"):
            raise ReferenceFormError(f"{row.name}s have no reference form", expected="a pressure")
        return Line(float(row.factor), float(offset), row, "none", u_a)
    if to_form is None:
        return Line(float(row.factor), 0.0, row, own, u_a)
    # Where the air varies from figure to figure it is added to each; nought stands in here.
    still = Ambient(Fraction(0), Fraction(0), "") if isinstance(air, np.ndarray) else air
    change = form_line(own, to_form, datum=datum, to_datum=datum, ambient=still)
    line = Line(
        float(change.sign * row.factor),
        float(change.shift),
        row,
        to_form,
        u_a,
        float(change.half_width) / sqrt(3.0),
        change.vacuum if change.sense else None,
        change.sense or 1,
    )
    around = {"gauge", "below_ambient"}
    if not isinstance(air, np.ndarray) or not change.sense or not {own, to_form} & around:
        return line
    return replace(
        line,
        floor=line.floor if own in around else None,
        air=air if at is None else air[at],
        air_sign=float(change.sense if own in around else -change.sense),
        air_u=float(constant("weather-half-width")) / sqrt(3.0),
    )
