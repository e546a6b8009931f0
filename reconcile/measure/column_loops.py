"""The inner loops of `reconcile.measure.columns`: one line over one array, block by block."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from reconcile.errors import OutOfRangeError
from reconcile.measure.units import UnitRow
from reconcile.records import Form

Floats = NDArray[np.float64]

BLOCK = 1 << 14
"""Figures taken at a time: three such arrays of floats fit a core's second-level cache."""


@dataclass(frozen=True, slots=True)
class Line:
    """``a x + c``, with the standard uncertainty of `a` (relative) and of `c`."""

    a: float
    c: float
    row: UnitRow
    to_form: Form
    u_a: float = 0.0
    u_c: float = 0.0
    floor: float | None = None
    """Answer that stands for vacuum; beyond it no pressure can be. None where nothing is
    known of it, or where it varies with the air."""
    sign: int = 1
    """Sense in which the answers grow with the absolute pressure."""
    air: Floats | None = None
    """Pressure of the air around each figure [Pa], added with `air_sign`."""
    air_sign: float = 1.0
    air_u: float = 0.0
    """Relative standard uncertainty of `air`."""


def run_line(
    x: Floats,
    u: Floats | None,
    line: Line,
    out: Floats,
    u_out: Floats | None,
    unread: bool,
    index: NDArray[np.intp] | None = None,
) -> None:
    """The line over one array, block by block, into `out` and `u_out`."""
    if line.row.scale == "reciprocal":
        _run_reciprocal(x, u, line, out, u_out, unread)
        return
    size = abs(line.a)
    constant = line.u_c * line.u_c
    plain = not constant and not line.u_a and line.air is None
    work = np.empty(min(BLOCK, x.size))
    for start in range(0, x.size, BLOCK):
        stop = min(start + BLOCK, x.size)
        block, y = x[start:stop], out[start:stop]
        np.multiply(block, line.a, out=y)
        if u is not None and u_out is not None:
            v = u_out[start:stop]
            np.multiply(u[start:stop] if u.ndim else u, size, out=v)
            if not plain:
                np.multiply(v, v, out=v)
                if line.u_a:
                    part = work[: stop - start]
                    np.multiply(y, line.u_a, out=part)
                    np.multiply(part, part, out=part)
                    np.add(v, part, out=v)
                if line.air is not None:
                    part = work[: stop - start]
                    np.multiply(line.air[start:stop], line.air_u, out=part)
                    np.multiply(part, part, out=part)
                    np.add(v, part, out=v)
                if constant:
                    np.add(v, constant, out=v)
                np.sqrt(v, out=v)
        if line.c:
            np.add(y, line.c, out=y)
        floors: float | Floats | None = line.floor
        if line.air is not None:
            part = work[: stop - start]
            np.multiply(line.air[start:stop], line.air_sign, out=part)
            np.add(y, part, out=y)
            floors = part if floors is None else floors
        # A sum is finite exactly where all of its parts are (or one in ~1e300 overflows).
        if not np.isfinite(y.sum()):
            _check_finite(y, start, index, unread)
        _check_floor(y, floors, line, start, index)


def _run_reciprocal(
    x: Floats, u: Floats | None, line: Line, out: Floats, u_out: Floats | None, unread: bool
) -> None:
    row = line.row
    a, c = float(row.factor), float(row.offset)
    base = x + c
    bad = ~(base * a > 0) & ~(np.isnan(x) & unread)
    if bad.any():
        first = int(np.argmax(bad))
        raise OutOfRangeError(
            f"{x[first]:g} is beyond the end of the scale",
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
    line: Line,
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
