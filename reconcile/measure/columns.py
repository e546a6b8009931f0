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
from dataclasses import dataclass
from fractions import Fraction
from math import sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from reconcile.errors import OutOfRangeError, ReferenceFormError, UsageError
from reconcile.measure.ambient import WEATHER, Ambient, ambient_at
from reconcile.measure.datums import find_datum
from reconcile.measure.pressure import check_form, zero_of
from reconcile.measure.units import UnitRow, unit_row
from reconcile.records import Form

Floats = NDArray[np.float64]

BLOCK = 1 << 14
"""Figures taken at a time: three such arrays of floats fit a core's second-level cache."""

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


@dataclass(frozen=True, slots=True)
class _Line:
    """``a x + c``, with the standard uncertainty of `a` (relative) and of `c`."""

    a: float
    c: float
    u_a: float
    u_c: float
    row: UnitRow
    to_form: Form
    floor: float | None
    """Answer that stands for vacuum; beyond it no pressure can be."""
    sign: int
    """Sense in which the answers grow with the absolute pressure."""


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
    out = np.empty(x.shape)
    u_out = None if u_in is None else np.empty(x.shape)
    known = u_in is not None
    for i, row in enumerate(rows):
        for j, own in enumerate(forms):
            at = _members(codes, i, kinds, j)
            if at is not None and not at.any():
                continue
            here = x if at is None else x[at]
            line, shift, shift_u = _line_of(row, own, to_form, datum, air, at, difference)
            u_here = u_in if at is None or u_in is None or u_in.ndim == 0 else u_in[at]
            spread = line.u_a or line.u_c or shift_u is not None
            if u_here is None and spread:
                u_here = np.zeros(())
                if u_out is None:
                    u_out = np.zeros(x.shape)
                known = True
            if at is None:
                _run(here, u_here, line, shift, shift_u, out, u_out, unread)
            else:
                part = np.empty(here.shape)
                u_part = None if u_here is None else np.empty(here.shape)
                _run(here, u_here, line, shift, shift_u, part, u_part, unread, np.flatnonzero(at))
                out[at] = part
                if u_part is not None and u_out is not None:
                    u_out[at] = u_part
    result = to_form or (check_form(forms[0]) if len(forms) == 1 else None)
    return SiColumn(out, u_out if known else None, rows[0].si_unit, result)


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
    """Group numbers shaped like `x` (None for one group) and the name of each group."""
    if isinstance(names, str):
        return None, [names]
    import pandas as pd

    codes, distinct = pd.factorize(np.asarray(names, dtype=object).ravel())
    if codes.size != x.size:
        raise UsageError(f"{what} are {codes.size}", expected=f"one, or as many as {x.size}")
    if (codes < 0).any():
        raise UsageError(f"{what} have a blank at {int(np.argmax(codes < 0))}")
    if len(distinct) == 1:
        return None, [str(distinct[0])]
    return codes.reshape(x.shape), [str(name) for name in distinct]


def _members(
    codes: NDArray[np.intp] | None, i: int, kinds: NDArray[np.intp] | None, j: int
) -> NDArray[np.bool_] | None:
    if codes is None and kinds is None:
        return None
    if codes is None:
        return np.equal(kinds, j)  # type: ignore[arg-type]
    here = np.equal(codes, i)
    return here if kinds is None else here & np.equal(kinds, j)


def _air(x: Floats, height_m: ArrayLike | None, ambient: Ambient | None) -> Ambient | Floats | None:
    """The air around: one for all, or pressures shaped like `x` [Pa]."""
    if ambient is not None or height_m is None:
        return ambient
    heights = _like(height_m, x, "the heights")
    if not heights.ndim:
        return ambient_at(float(heights))
    from reconcile.measure.atmosphere import isa

    pressures: Floats = isa(heights).pressure
    return pressures


def _line_of(
    row: UnitRow,
    form: str,
    to_form: Form | None,
    datum: str,
    air: Ambient | Floats | None,
    at: NDArray[np.bool_] | None,
    difference: bool,
) -> tuple[_Line, Floats | None, Floats | None]:
    """The line for one unit and form; with an array of air, also what it adds to each
    figure and the standard uncertainty of that."""
    u_a = row.u_rel
    offset = Fraction(0) if difference or row.scale != "linear" else row.offset
    own = check_form(form)
    if row.si_unit != "Pa":
        if to_form not in (None, "none"):
            raise ReferenceFormError(f"{row.name}s have no reference form", expected="a pressure")
        line = _Line(float(row.factor), float(offset), u_a, 0.0, row, "none", None, 1)
        return line, None, None
    wanted = own if to_form is None else to_form
    if wanted == own:
        floor = 0.0 if own == "absolute" and to_form is not None else None
        line = _Line(float(row.factor), 0.0, u_a, 0.0, row, own, floor, 1)
        return line, None, None
    around = {"gauge", "below_ambient"}
    if {own, wanted} == around:
        return _Line(-float(row.factor), 0.0, u_a, 0.0, row, wanted, None, 1), None, None
    varying = isinstance(air, np.ndarray)
    # Where the air varies from figure to figure it is added afterwards; nought stands in.
    still = Ambient(Fraction(0), Fraction(0), "") if varying else air
    assert not isinstance(still, np.ndarray)
    zero, sign = zero_of(own, datum=datum, ambient=still)
    zero_there, sign_there = zero_of(wanted, datum=datum, ambient=still)
    half_widths = [find_datum(datum).half_width] if "fixed_datum" in (own, wanted) else []
    shift = shift_u = None
    if {own, wanted} & around:
        if varying:
            assert isinstance(air, np.ndarray)
            here = air if at is None else air[at]
            shift = here * float(sign_there) if own in around else here * -float(sign_there)
            shift_u = here * (float(WEATHER) / sqrt(3.0))
        elif still is not None:
            half_widths.append(still.half_width)
    u_c = sqrt(sum(float(w) ** 2 for w in half_widths) / 3.0)
    # Where the air of the answer's own zero varies, `shift` is the floor, figure by figure.
    floor = None if varying and wanted in around else float(-zero_there * sign_there)
    line = _Line(
        float(sign * sign_there * row.factor),
        float(sign_there * (zero - zero_there)),
        u_a,
        u_c,
        row,
        wanted,
        floor,
        sign_there,
    )
    return line, shift, shift_u


def _run(
    x: Floats,
    u: Floats | None,
    line: _Line,
    shift: Floats | None,
    shift_u: Floats | None,
    out: Floats,
    u_out: Floats | None,
    unread: bool,
    index: NDArray[np.intp] | None = None,
) -> None:
    """The line over one array, block by block, into `out` and `u_out`."""
    if line.row.scale == "reciprocal":
        _run_reciprocal(x, u, line, out, u_out, unread)
        return
    xs, outs = x.reshape(-1), out.reshape(-1)
    us = None if u is None or u_out is None else u.reshape(-1) if u.ndim else u
    u_outs = None if u_out is None else u_out.reshape(-1)
    shifts = None if shift is None else shift.reshape(-1)
    shift_us = None if shift_u is None else shift_u.reshape(-1)
    size = abs(line.a)
    constant = line.u_c * line.u_c
    plain = not constant and not line.u_a and shift_us is None
    work = np.empty(min(BLOCK, xs.size))
    for start in range(0, xs.size, BLOCK):
        stop = min(start + BLOCK, xs.size)
        block, y = xs[start:stop], outs[start:stop]
        np.multiply(block, line.a, out=y)
        if us is not None and u_outs is not None:
            v = u_outs[start:stop]
            np.multiply(us[start:stop] if us.ndim else us, size, out=v)
            if not plain:
                np.multiply(v, v, out=v)
                if line.u_a:
                    part = work[: stop - start]
                    np.multiply(y, line.u_a, out=part)
                    np.multiply(part, part, out=part)
                    np.add(v, part, out=v)
                if shift_us is not None:
                    part = work[: stop - start]
                    np.multiply(shift_us[start:stop], shift_us[start:stop], out=part)
                    np.add(v, part, out=v)
                if constant:
                    np.add(v, constant, out=v)
                np.sqrt(v, out=v)
        if line.c:
            np.add(y, line.c, out=y)
        if shifts is not None:
            np.add(y, shifts[start:stop], out=y)
        # A sum is finite exactly where all of its parts are (or one in ~1e300 overflows).
        if not np.isfinite(y.sum()):
            _check_finite(y, start, index, unread)
        floors: float | Floats | None = line.floor
        if floors is None and shifts is not None:
            floors = shifts[start:stop]
        _check_floor(y, floors, line, start, index)


def _run_reciprocal(
    x: Floats, u: Floats | None, line: _Line, out: Floats, u_out: Floats | None, unread: bool
) -> None:
    row = line.row
    a, c = float(row.factor), float(row.offset)
    base = x + c
    bad = ~(base * a > 0) & ~(np.isnan(x) & unread)
    if bad.any():
        first = int(np.flatnonzero(bad.reshape(-1))[0])
        raise OutOfRangeError(
            f"{x.reshape(-1)[first]:g} is beyond the end of the scale",
            where=f"{row.name}, index {first}",
        )
    np.divide(a, base, out=out)
    if u is not None and u_out is not None:
        np.hypot(u * (out / base), out * line.u_a, out=u_out)


def _where(start: int, first: int, index: NDArray[np.intp] | None) -> str:
    at = start + first
    return f"index {at if index is None else int(index[at])}"


def _check_finite(y: Floats, start: int, index: NDArray[np.intp] | None, unread: bool) -> None:
    bad = np.isinf(y) if unread else ~np.isfinite(y)
    if bad.any():
        first = int(np.argmax(bad))
        raise OutOfRangeError(
            f"{y[first]:g} comes out",
            where=_where(start, first, index),
            expected="finite numbers",
            do="pass unread=True if not-a-number stands for an unread figure",
        )


def _check_floor(
    y: Floats,
    floor: float | Floats | None,
    line: _Line,
    start: int,
    index: NDArray[np.intp] | None,
) -> None:
    if floor is None:
        return
    if isinstance(floor, float):
        worst = float(y.min() if line.sign > 0 else y.max())
        if (worst - floor) * line.sign >= 0.0:
            return
    # One float rounding of the vacuum itself is no pressure below it.
    room = (y - floor) * line.sign + 1e-9 * np.abs(floor)
    if np.fmin.reduce(room, initial=0.0) < 0.0:
        first = int(np.argmax(room < 0.0))
        raise OutOfRangeError(
            f"{y[first]:g} Pa ({line.to_form.replace('_', ' ')}) is below vacuum",
            where=_where(start, first, index),
            do="look at the sign, the unit and the reference form",
        )
