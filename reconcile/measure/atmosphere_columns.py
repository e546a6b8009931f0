"""The standard atmosphere for columns of heights, pressures and densities (NumPy).

The work goes block by block, so that the intermediate columns stay in the processor's
cache, and looks only at the layers that occur in a block. A mixed block picks each
element's layer constants by index, so that every element sees the same formula as the
scalar path; only the last bits of ``exp`` and ``log1p`` may differ between the two.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from reconcile.errors import OutOfRangeError, UsageError
from reconcile.measure.operands import as_column
from reconcile.measure.standard_atmospheres import StandardAtmosphere

Column = np.ndarray[Any, np.dtype[np.float64]]

_BLOCK = 16_384
"""Elements worked on at a time: 128 KiB a column, a handful of them in the cache."""


def state(
    model: StandardAtmosphere, heights: Any, geometric: bool, offset_k: Any
) -> tuple[Column, Column]:
    """Temperature [K] and pressure [Pa] at a column of heights.

    Parameters
    ----------
    model : StandardAtmosphere
    heights : array of any shape, [m]
    geometric : bool
        The heights are geometric.
    offset_k : float or array that broadcasts to the heights, [K]
        Added to the temperatures.

    Returns
    -------
    temperature, pressure : arrays shaped like `heights`

    Raises
    ------
    OutOfRangeError
        A height lies outside the atmosphere or is not a number; the first one is named.
    """
    column = as_column(heights, "the height")
    flat = column.ravel()
    temperature, pressure = np.empty_like(flat), np.empty_like(flat)
    table, scratch = _Table(model), _Scratch(flat.size)
    for part in _blocks(flat.size):
        h = flat[part]
        if geometric:
            # The conversion has a pole at the centre of the Earth; what is cut off here
            # lies outside in any case.
            h = np.clip(h, -1e6, 1e6)
            h = model.to_geopotential(h)
        lo, hi = _ends(h)
        if not (model.bottom <= lo and hi <= model.top):
            at = _first_outside(h, model.bottom, model.top)
            where = f"element {part.start + at}"
            raise model.height_error(flat[part][at], geometric, where)
        _fill(table, scratch, h, lo, hi, temperature[part], pressure[part])
    if np.ndim(offset_k) or offset_k:
        temperature = _shifted(temperature.reshape(column.shape), offset_k)
    return temperature.reshape(column.shape), pressure.reshape(column.shape)


def height(
    model: StandardAtmosphere,
    values: Any,
    which: str,
    unit: str,
    limits: tuple[float, float],
    geometric: bool,
) -> Column:
    """Heights [m] at which an atmosphere has a column of pressures or densities.

    Parameters
    ----------
    model : StandardAtmosphere
    values : array of any shape, [Pa] or [kg/m**3]
    which : str
        ``"pressure"`` or ``"density"``.
    unit : str
        For the message.
    limits : (float, float)
        Least and greatest value that stands in the atmosphere.
    geometric : bool
        Give geometric heights.

    Returns
    -------
    height : array shaped like `values`

    Raises
    ------
    OutOfRangeError
        A value stands nowhere in the atmosphere or is not a number.
    """
    column = as_column(values, f"the {which}")
    flat = column.ravel()
    out = np.empty_like(flat)
    least, most = limits
    by_pressure = which == "pressure"
    edges = model.upper_pressures if by_pressure else model.upper_densities
    table, scratch = _InverseTable(model, by_pressure), _Scratch(flat.size)
    for part in _blocks(flat.size):
        v = flat[part]
        lo, hi = _ends(v)
        if not (least <= lo and hi <= most):
            at = _first_outside(v, least, most)
            where = f"element {part.start + at}"
            raise model.value_error(float(v[at]), which, unit, limits, where)
        minus = np.negative(v, out=scratch.rise[: v.size])
        pick = _Picker(edges, minus, -hi, -lo, scratch)
        base = pick(table.base)
        fall = np.subtract(v, base, out=scratch.term[: v.size])
        fall /= base
        np.log1p(fall, out=fall)
        # One of the two terms is zero in every layer.
        rise = np.multiply(fall, pick(table.per_exponent), out=scratch.rise[: v.size])
        np.expm1(rise, out=rise)
        rise *= pick(table.per_gradient)
        fall *= pick(table.per_decay)
        rise += fall
        rise += pick(table.base_height)
        np.clip(rise, model.bottom, model.top, out=out[part])
    if geometric:
        out = model.to_geometric(out)
    return out.reshape(column.shape)


class _Table:
    """Layer constants as columns, to be picked from by layer index."""

    def __init__(self, model: StandardAtmosphere) -> None:
        layers = model.layers
        self.model = model
        self.base_height = np.array([layer.base_height for layer in layers])
        self.base_temperature = np.array([layer.base_temperature for layer in layers])
        self.base_pressure = np.array([layer.base_pressure for layer in layers])
        self.gradient = np.array([layer.gradient for layer in layers])
        self.relative_gradient = np.array([layer.relative_gradient for layer in layers])
        self.minus_exponent = np.array([-layer.exponent for layer in layers])
        self.minus_decay = np.array([-layer.decay for layer in layers])


class _InverseTable:
    """Constants of the inverse: height = base + (expm1(a f) b + c f), f = log(value/base)."""

    def __init__(self, model: StandardAtmosphere, by_pressure: bool) -> None:
        layers = model.layers
        more = 0.0 if by_pressure else 1.0
        self.base_height = np.array([layer.base_height for layer in layers])
        self.base = np.array(
            [layer.base_pressure if by_pressure else layer.base_density for layer in layers]
        )
        self.per_exponent = np.array(
            [-1.0 / (layer.exponent + more) if layer.gradient else 0.0 for layer in layers]
        )
        self.per_gradient = np.array(
            [1.0 / layer.relative_gradient if layer.gradient else 0.0 for layer in layers]
        )
        self.per_decay = np.array(
            [0.0 if layer.gradient else -1.0 / layer.decay for layer in layers]
        )


class _Scratch:
    """Columns of one block, used over and over: fresh ones would each be paged in anew."""

    def __init__(self, size: int) -> None:
        size = min(size, _BLOCK)
        self.rise, self.term, self.picked = (np.empty(size) for _ in range(3))
        self.index = np.empty(size, dtype=np.intp)


def _fill(
    table: _Table,
    scratch: _Scratch,
    h: Column,
    lo: float,
    hi: float,
    temperature: Column,
    pressure: Column,
) -> None:
    size = h.size
    pick = _Picker(table.model.upper_bases, h, lo, hi, scratch)
    rise = np.subtract(h, pick(table.base_height), out=scratch.rise[:size])
    if pick.one and not table.gradient[pick.first]:
        temperature.fill(pick(table.base_temperature))
        np.multiply(rise, pick(table.minus_decay), out=pressure)
    else:
        np.multiply(rise, pick(table.gradient), out=temperature)
        temperature += pick(table.base_temperature)
        np.multiply(rise, pick(table.relative_gradient), out=pressure)
        np.log1p(pressure, out=pressure)
        pressure *= pick(table.minus_exponent)
        if not pick.one:
            # Zero in gradient layers, as the term above is in isothermal ones.
            rise *= pick(table.minus_decay)
            pressure += rise
    np.exp(pressure, out=pressure)
    pressure *= pick(table.base_pressure)


class _Picker:
    """Gives each element of a block its own layer's constant, or the one for all."""

    def __init__(
        self, edges: Sequence[float], values: Column, lo: float, hi: float, scratch: _Scratch
    ) -> None:
        self.first, last = bisect_right(edges, lo), bisect_right(edges, hi)
        self.one = self.first == last
        if self.one:
            return
        size = values.size
        index = (values >= edges[self.first]).view(np.int8)
        for edge in edges[self.first + 1 : last]:
            index += (values >= edge).view(np.int8)
        self.index = scratch.index[:size]
        self.index[...] = index
        self.out = scratch.picked[:size]
        self.stop = last + 1

    def __call__(self, constants: Column) -> Any:
        """The constants; a column is good until the next call."""
        if self.one:
            return constants[self.first]
        # mode="clip" only because it skips a bounds check; every index is inside.
        return constants[self.first : self.stop].take(self.index, out=self.out, mode="clip")


def _blocks(size: int) -> Iterator[slice]:
    for start in range(0, size, _BLOCK):
        yield slice(start, min(start + _BLOCK, size))


def _ends(values: Column) -> tuple[float, float]:
    # A NaN anywhere comes out of both, and fails every comparison after.
    return float(values.min()), float(values.max())


def _first_outside(values: Column, lo: float, hi: float) -> int:
    return int(np.argmin((values >= lo) & (values <= hi)))


def _shifted(temperature: Column, offset_k: Any) -> Column:
    try:
        shifted = temperature + as_column(offset_k, "the offset")
    except ValueError:
        raise UsageError(
            f"offsets of shape {np.shape(offset_k)} do not fit heights of shape "
            f"{temperature.shape}",
            expected="one offset, or one for each height",
        ) from None
    if shifted.shape != temperature.shape:
        raise UsageError(
            f"offsets of shape {np.shape(offset_k)} do not fit heights of shape "
            f"{temperature.shape}",
            expected="one offset, or one for each height",
        )
    if not (np.all(shifted > 0.0) and np.all(shifted < 1e4)):
        raise OutOfRangeError(
            "an offset leaves no possible temperature",
            expected="temperatures above absolute zero",
        )
    return shifted
