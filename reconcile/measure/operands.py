"""Numbers or columns of numbers: what the functions of this room take as operands.

A single number stays a plain float and NumPy is not loaded for it.
"""

from __future__ import annotations

import math
from numbers import Real
from typing import Any

from reconcile.errors import UsageError


def number_of(value: Any, name: str) -> float | None:
    """`value` as a float, or None where it is a column of values.

    Raises
    ------
    UsageError
        It is neither; a text, say.
    """
    if isinstance(value, (float, int)):
        return float(value)
    if isinstance(value, Real):
        return float(value)
    if isinstance(value, (str, bytes)) or not (
        hasattr(value, "__array__") or isinstance(value, (list, tuple))
    ):
        raise UsageError(f"{name} is {value!r}", expected="a number or an array of numbers")
    return None


def as_column(values: Any, name: str) -> Any:
    """`values` as an array of floats.

    Raises
    ------
    UsageError
        Something in it is no number.
    """
    import numpy as np

    try:
        return np.asarray(values, dtype=np.float64)
    except (TypeError, ValueError) as fault:
        raise UsageError(
            f"{name} is no array of numbers ({fault})", expected="numbers of one shape"
        ) from None


def operand_of(value: Any, name: str) -> Any:
    """`value` as a float or as an array of floats; UsageError where it is neither."""
    number = number_of(value, name)
    return as_column(value, name) if number is None else number


def check_fitting(left: Any, right: Any) -> None:
    """Refuse two columns of unlike shape; a column and a number always fit."""
    if isinstance(left, float) or isinstance(right, float) or left.shape == right.shape:
        return
    raise UsageError(
        f"columns of shapes {left.shape} and {right.shape} do not fit each other",
        expected="one shape, or a single number",
    )


def functions_for(value: Any) -> Any:
    """The module whose ``exp``, ``log``, ``sqrt`` and the like take `value`."""
    if isinstance(value, float):
        return math
    import numpy as np

    return np


def all_true(condition: Any) -> bool:
    """True where a condition holds for a number, or for every element of a column."""
    return condition if isinstance(condition, bool) else bool(condition.all())
