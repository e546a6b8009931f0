"""Contributions to an uncertainty: one input each, labelled by where its doubt comes from.

References
----------
[GUM] JCGM 100:2008, Guide to the expression of uncertainty in measurement.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from math import inf, isfinite, isinf, sqrt

from reconcile.errors import OutOfRangeError, UnknownTermError
from reconcile.reference import Row, load_rows


@cache
def _labels() -> dict[str, Row]:
    return {row["label"]: row for row in load_rows("uncertainty/labels")}


@dataclass(frozen=True, slots=True)
class Contribution:
    """One input and what its uncertainty adds to the value.

    Raises
    ------
    UnknownTermError
        `label` is no label of ``tables/uncertainty/labels``.
    OutOfRangeError
        A negative or endless standard uncertainty, or no degrees of freedom.
    """

    name: str
    label: str
    value: float
    u: float | None
    """Standard uncertainty of the input; None where nothing is known of it."""
    distribution: str = ""
    """The label's own, unless given."""
    sensitivity: float = 1.0
    """Change of the result for a change of the input."""
    degrees: float = inf
    """Degrees of freedom."""
    unit: str = ""
    source: str = ""
    """Names the input where several results share it; blank for an input of its own."""

    def __post_init__(self) -> None:
        row = _labels().get(self.label)
        if row is None:
            raise UnknownTermError(
                f"no uncertainty goes by the label {self.label!r}",
                expected="one of " + ", ".join(_labels()),
            )
        if self.u is not None and not (isfinite(self.u) and self.u >= 0.0):
            raise OutOfRangeError(
                f"the standard uncertainty of {self.name} is {self.u:g}",
                expected="a finite number, nought or more",
            )
        if not self.degrees > 0.0:
            raise OutOfRangeError(
                f"{self.name} has {self.degrees:g} degrees of freedom", expected="more than 0"
            )
        if not self.distribution:
            object.__setattr__(self, "distribution", row["distribution"])

    @property
    def counted(self) -> bool:
        """False for what is stated apart and never combined."""
        return _labels()[self.label]["counted"] == "yes"

    @property
    def contribution(self) -> float | None:
        """Signed share of the result's standard uncertainty: sensitivity times u."""
        return None if self.u is None else self.sensitivity * self.u


@dataclass(frozen=True, slots=True)
class Expanded:
    """An expanded uncertainty and how it was come by."""

    uncertainty: float
    coverage_factor: float
    probability: float
    degrees: float


def coverage_factor_of(probability: float, degrees: float = inf) -> float:
    """Factor k with which +/- k u covers a probability, by the t-distribution.

    Raises
    ------
    OutOfRangeError
        The probability is not between 0 and 1, or degrees of freedom below 1.

    Examples
    --------
    >>> round(coverage_factor_of(0.95), 3), round(coverage_factor_of(0.95, 10), 3)
    (1.96, 2.228)
    """
    if not 0.0 < probability < 1.0:
        raise OutOfRangeError(
            f"a coverage probability of {probability:g}", expected="between 0 and 1"
        )
    if not degrees >= 1.0:
        raise OutOfRangeError(f"{degrees:g} degrees of freedom", expected="1 or more")
    upper = 0.5 + 0.5 * probability
    if isinf(degrees):
        # Imported here because it takes longer to load than all of this module.
        from statistics import NormalDist

        return NormalDist().inv_cdf(upper)
    from scipy.special import stdtrit

    return float(stdtrit(degrees, upper))


def half_width_contribution(
    name: str,
    label: str,
    value: float,
    half_width: float | None,
    *,
    unit: str = "",
    source: str = "",
    sensitivity: float = 1.0,
) -> Contribution:
    """A contribution known by its half-width, rectangular.

    Parameters
    ----------
    half_width : float or None
        None: nothing is known.

    References
    ----------
    [GUM] 4.3.7.
    """
    u = None if half_width is None else abs(half_width) / sqrt(3.0)
    return Contribution(
        name, label, value, u, "rectangular" if u is not None else "none", sensitivity,
        unit=unit, source=source,
    )  # fmt: skip


def combine(uncertainties: Iterable[float | None]) -> float | None:
    """Root sum of squares of independent standard uncertainties; None if none is known."""
    known = [u for u in uncertainties if u is not None]
    return sqrt(sum(u * u for u in known)) if known else None
