"""Standard uncertainties and their linear propagation.

Propagation carries, beside each value, its derivatives by the inputs it was made from, so
that an input used twice is counted as one: ``x - x`` is exactly nought. Any function of
numbers works; one that asks for plain floats is differentiated by differences instead.

References
----------
[GUM] JCGM 100:2008, Guide to the expression of uncertainty in measurement.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import inf, isfinite
from typing import Any

from reconcile.errors import OutOfRangeError, UnknownTermError
from reconcile.measure.budget import Budget
from reconcile.measure.contributions import Contribution

_DIVISORS = {
    "rectangular": math.sqrt(3.0),
    "triangular": math.sqrt(6.0),
    "arcsine": math.sqrt(2.0),
}


def standard_uncertainty_of(half_width: float, distribution: str = "rectangular") -> float:
    """Standard uncertainty of a value known to lie within a half-width.

    Parameters
    ----------
    half_width : float
        Nought or more.
    distribution : str
        ``"rectangular"``, ``"triangular"`` or ``"arcsine"`` (U-shaped).

    Returns
    -------
    u : float, in the unit of `half_width`

    References
    ----------
    [GUM] 4.3.7 to 4.3.9; JCGM 101:2008, 6.4.

    Examples
    --------
    >>> standard_uncertainty_of(0.5)
    0.288675...
    """
    if distribution not in _DIVISORS:
        raise UnknownTermError(
            f"no half-width belongs to a distribution {distribution!r}",
            expected="one of " + ", ".join(_DIVISORS),
        )
    if not (isfinite(half_width) and half_width >= 0.0):
        raise OutOfRangeError(f"a half-width of {half_width:g}", expected="nought or more")
    return half_width / _DIVISORS[distribution]


def trapezoid_uncertainty(half_width: float, top_ratio: float) -> float:
    """Standard uncertainty of a symmetric trapezoidal distribution.

    Parameters
    ----------
    half_width : float
        Of the base.
    top_ratio : float
        Top over base: 1 is rectangular, 0 triangular.

    References
    ----------
    [GUM] 4.3.9.
    """
    if not 0.0 <= top_ratio <= 1.0:
        raise OutOfRangeError(f"a top of {top_ratio:g} of the base", expected="0 to 1")
    return standard_uncertainty_of(half_width, "triangular") * math.sqrt(1.0 + top_ratio**2)


@dataclass(frozen=True, slots=True, eq=False)
class Input:
    """A measured quantity that a result is made from. Each is its own; none equals another."""

    name: str
    value: float
    u: float
    label: str = "certificate"
    distribution: str = ""
    degrees: float = inf
    unit: str = ""
    source: str = ""
    """As in `Contribution`: names an input that several budgets share."""


class Uncertain:
    """A value with its derivatives by the inputs; arithmetic carries both.

    Parameters
    ----------
    value : float
    slopes : mapping of Input to float
        Derivatives of the value.
    """

    __slots__ = ("slopes", "value")

    def __init__(self, value: float, slopes: Mapping[Input, float] | None = None) -> None:
        self.value = value
        self.slopes: Mapping[Input, float] = slopes or {}

    @classmethod
    def of(cls, x: Input) -> Uncertain:
        """The input itself."""
        return cls(x.value, {x: 1.0})

    @property
    def standard_uncertainty(self) -> float:
        """Combined standard uncertainty, the inputs uncorrelated."""
        return math.sqrt(sum((slope * x.u) ** 2 for x, slope in self.slopes.items()))

    def covariance(self, other: Uncertain) -> float:
        """Covariance with another value, through the inputs they share."""
        return sum(
            slope * other.slopes[x] * x.u**2
            for x, slope in self.slopes.items()
            if x in other.slopes
        )

    def _mapped(self, value: float, slope: float) -> Uncertain:
        return Uncertain(value, {x: slope * s for x, s in self.slopes.items()})

    def _joined(self, other: Any, value: float, mine: float, others: float) -> Uncertain:
        slopes = {x: mine * s for x, s in self.slopes.items()}
        if isinstance(other, Uncertain):
            for x, s in other.slopes.items():
                slopes[x] = slopes.get(x, 0.0) + others * s
        return Uncertain(value, slopes)

    def __add__(self, other: Any) -> Uncertain:
        return self._joined(other, self.value + value_of(other), 1.0, 1.0)

    __radd__ = __add__

    def __sub__(self, other: Any) -> Uncertain:
        return self._joined(other, self.value - value_of(other), 1.0, -1.0)

    def __rsub__(self, other: Any) -> Uncertain:
        return self._mapped(value_of(other) - self.value, -1.0)

    def __mul__(self, other: Any) -> Uncertain:
        b = value_of(other)
        return self._joined(other, self.value * b, b, self.value)

    __rmul__ = __mul__

    def __truediv__(self, other: Any) -> Uncertain:
        b = value_of(other)
        return self._joined(other, self.value / b, 1.0 / b, -self.value / b**2)

    def __rtruediv__(self, other: Any) -> Uncertain:
        a = value_of(other)
        return self._mapped(a / self.value, -a / self.value**2)

    def __pow__(self, other: Any) -> Uncertain:
        b = value_of(other)
        value = self.value**b
        by_exponent = value * math.log(self.value) if isinstance(other, Uncertain) else 0.0
        by_base = b * self.value ** (b - 1.0) if b else 0.0
        return self._joined(other, value, by_base, by_exponent)

    def __rpow__(self, other: Any) -> Uncertain:
        a = value_of(other)
        value = a**self.value
        return self._mapped(value, value * math.log(a))

    def __neg__(self) -> Uncertain:
        return self._mapped(-self.value, -1.0)

    def __pos__(self) -> Uncertain:
        return self

    def __abs__(self) -> Uncertain:
        return -self if self.value < 0.0 else self

    def __repr__(self) -> str:
        return f"Uncertain({self.value!r}, u={self.standard_uncertainty!r})"


def value_of(x: Any) -> float:
    """The plain value of an `Uncertain` or of a number."""
    return x.value if isinstance(x, Uncertain) else float(x)


def _function(
    name: str, value: Callable[[float], float], slope: Callable[[float], float]
) -> Callable[[Any], Any]:
    def apply(x: Any) -> Any:
        if isinstance(x, Uncertain):
            return x._mapped(value(x.value), slope(x.value))
        return value(x)

    apply.__name__ = name
    apply.__doc__ = f"{name}(x) of a number or an `Uncertain`."
    return apply


exp = _function("exp", math.exp, math.exp)
log = _function("log", math.log, lambda x: 1.0 / x)
sqrt = _function("sqrt", math.sqrt, lambda x: 0.5 / math.sqrt(x))
sin = _function("sin", math.sin, math.cos)
cos = _function("cos", math.cos, lambda x: -math.sin(x))
tan = _function("tan", math.tan, lambda x: 1.0 + math.tan(x) ** 2)


def propagate(
    function: Callable[..., Any],
    inputs: Sequence[Input],
    *,
    correlations: Mapping[tuple[str, str], float] | None = None,
    name: str = "",
    unit: str = "",
) -> Budget:
    """Propagate uncertainties through a function, to first order.

    Parameters
    ----------
    function : callable
        Takes one number for each input. Given `Uncertain` numbers it is differentiated
        exactly (with `exp`, `log`, `sqrt`, `sin`, `cos`, `tan` of this module); if it
        will not take them, by differences.
    inputs : sequence of Input
    correlations : mapping of (name, name) to coefficient, optional
    name, unit : str
        Of the result.

    Returns
    -------
    budget : Budget

    Raises
    ------
    OutOfRangeError
        The function or a slope is not finite there.

    References
    ----------
    [GUM] 5.1.2, 5.2.2.

    Examples
    --------
    >>> volts, amps = Input("U", 5.0, 0.003), Input("I", 0.02, 1e-5)
    >>> budget = propagate(lambda u, i: u / i, [volts, amps], unit="Ohm")
    >>> round(budget.value, 9), round(budget.standard_uncertainty, 4)
    (250.0, 0.1953)
    """
    try:
        result = function(*(Uncertain.of(x) for x in inputs))
        value = value_of(result)
        slopes = result.slopes if isinstance(result, Uncertain) else {}
    except TypeError:
        value = float(function(*(x.value for x in inputs)))
        slopes = {x: _slope(function, inputs, i) for i, x in enumerate(inputs)}
    bad = [x.name for x in inputs if not isfinite(slopes.get(x, 0.0))]
    if bad or not isfinite(value):
        raise OutOfRangeError(
            f"no slope by {bad[0]} there"
            if isfinite(value)
            else f"the function is {value:g} there",
            expected="a finite value and finite slopes",
        )
    contributions = tuple(
        Contribution(
            name=x.name,
            label=x.label,
            value=x.value,
            u=x.u,
            distribution=x.distribution,
            sensitivity=slopes.get(x, 0.0),
            degrees=x.degrees,
            unit=x.unit,
            source=x.source,
        )
        for x in inputs
    )
    return Budget(name, value, unit, contributions, dict(correlations or {}))


def _slope(function: Callable[..., Any], inputs: Sequence[Input], at: int) -> float:
    """Derivative by one input: central differences at two steps, extrapolated."""
    values = [x.value for x in inputs]
    step = 0.1 * inputs[at].u or 1e-6 * max(abs(values[at]), 1e-6)

    def difference(h: float) -> float:
        ends = []
        for sign in (1.0, -1.0):
            moved = [v + sign * h if i == at else v for i, v in enumerate(values)]
            ends.append(float(function(*moved)))
        return (ends[0] - ends[1]) / (2.0 * h)

    return (4.0 * difference(0.5 * step) - difference(step)) / 3.0


def second_order_variance(function: Callable[..., Any], inputs: Sequence[Input]) -> float:
    """What the second-order terms add to the variance of a result.

    Parameters
    ----------
    function : callable
        Takes one plain number for each input.
    inputs : sequence of Input
        Uncorrelated.

    Returns
    -------
    variance : float
        May be negative. Set against the first-order variance it tells whether the linear
        law will do; exact for inputs near normal.

    References
    ----------
    [GUM] 5.1.2, note.
    """
    values = [x.value for x in inputs]
    e = 0.1
    steps = [e * x.u for x in inputs]

    def at(moves: Mapping[int, float]) -> float:
        return float(function(*(v + moves.get(i, 0.0) * steps[i] for i, v in enumerate(values))))

    # Derivatives are taken by steps in units of u, so that each u drops out of the sums.
    middle = at({})
    total = 0.0
    for i, step in enumerate(steps):
        if not step:
            continue
        near, far = at({i: 1.0}) - at({i: -1.0}), at({i: 2.0}) - at({i: -2.0})
        slope = (8.0 * near - far) / (12.0 * e)
        bend = (at({i: 1.0}) - 2.0 * middle + at({i: -1.0})) / e**2
        third = (0.5 * far - near) / e**3
        total += 0.5 * bend * bend + slope * third
        for j, other in enumerate(steps):
            if j == i or not other:
                continue
            ahead = at({i: 1.0, j: 1.0}), at({i: 1.0, j: -1.0})
            behind = at({i: -1.0, j: 1.0}), at({i: -1.0, j: -1.0})
            mixed = (ahead[0] - ahead[1] - behind[0] + behind[1]) / (4.0 * e**2)
            # Slope by i, bent along j.
            bent = 0.5 * (sum(ahead) - sum(behind) - 2.0 * near) / e**3
            total += 0.5 * mixed * mixed + slope * bent
    return total
