"""Do values with uncertainties agree? Normalised error, chi-square, Birge ratio.

References
----------
[ISO17043] ISO/IEC 17043, annex B: the E_n number.
[CODATA] P. J. Mohr, B. N. Taylor, D. B. Newell, CODATA recommended values of the
    fundamental physical constants 2010, Rev. Mod. Phys. 84 (2012), 1527.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import isfinite, sqrt
from typing import Any

from reconcile.errors import OutOfRangeError, UsageError


def normalised_error(
    value: float,
    expanded: float,
    reference: float,
    reference_expanded: float,
    *,
    covariance: float = 0.0,
    coverage_factor: float = 2.0,
) -> float:
    """E_n: difference of two values over the expanded uncertainty of the difference.

    Parameters
    ----------
    value, expanded : float
        A value and its expanded uncertainty U.
    reference, reference_expanded : float
        The same of the value it is set against.
    covariance : float
        Of the two values, where they share an input.
    coverage_factor : float
        Of both expanded uncertainties; used with `covariance` only.

    Returns
    -------
    e_n : float
        They agree where it lies within -1 to 1. Infinite where neither has any
        uncertainty and they differ.

    References
    ----------
    [ISO17043] B.3.1.

    Examples
    --------
    >>> round(normalised_error(10.005, 0.004, 10.000, 0.003), 9)
    1.0
    """
    _check(value, reference)
    _check(expanded, reference_expanded, least=0.0)
    variance = expanded**2 + reference_expanded**2 - 2.0 * coverage_factor**2 * covariance
    # What is left after the shared part may be rounding only.
    noise = 1e-12 * (expanded**2 + reference_expanded**2)
    if variance < -noise:
        raise OutOfRangeError(
            f"a covariance of {covariance:g} is more than the uncertainties allow",
            expected="at most the product of the standard uncertainties",
        )
    gap = value - reference
    if variance <= noise:
        return 0.0 if gap == 0.0 else float("inf") if gap > 0.0 else float("-inf")
    return gap / sqrt(variance)


@dataclass(frozen=True, slots=True)
class Consistency:
    """The weighted mean of several values and how well they hang together."""

    mean: float
    u: float
    """Of the mean, from the stated uncertainties."""
    chi_square: float
    degrees: int
    p_value: float
    """Chance of a chi-square as large or larger if the uncertainties are right."""
    birge_ratio: float
    u_expanded: float
    """Of the mean, enlarged by the Birge ratio where this is above 1."""
    normalised: tuple[float, ...]
    """Each value's difference from the mean in units of its own u."""

    def is_consistent(self, level: float = 0.05) -> bool:
        """True unless the scatter is larger than chance would make it at that level."""
        return self.p_value >= level


def consistency(
    values: Sequence[float],
    uncertainties: Sequence[float],
    *,
    correlations: Sequence[Sequence[float]] | None = None,
) -> Consistency:
    """Weighted mean, chi-square test and Birge ratio of several values of one quantity.

    Parameters
    ----------
    values, uncertainties : sequences of float
        Two or more, with standard uncertainties above nought.
    correlations : matrix, optional
        Correlation coefficients of the values.

    Returns
    -------
    consistency : Consistency

    Raises
    ------
    UsageError
        Fewer than two values, or shapes that do not fit.
    OutOfRangeError
        An uncertainty not above nought, a value not finite, or correlations that cannot be.

    References
    ----------
    [CODATA] section on the Newtonian constant of gravitation.

    Examples
    --------
    >>> found = consistency([10.0, 12.0, 11.0], [1.0, 1.0, 1.0])
    >>> found.mean, round(found.chi_square, 9), found.degrees, round(found.p_value, 6)
    (11.0, 2.0, 2, 0.367879)
    """
    n = len(values)
    if n < 2 or len(uncertainties) != n:
        raise UsageError(
            f"{n} values with {len(uncertainties)} uncertainties", expected="two or more, in pairs"
        )
    _check(*values)
    _check(*uncertainties, least=0.0)
    if not all(u > 0.0 for u in uncertainties):
        raise OutOfRangeError("a standard uncertainty is nought", expected="more than nought")
    from scipy.special import chdtrc

    if correlations is None:
        weights = [1.0 / u**2 for u in uncertainties]
        total = sum(weights)
        mean = sum(w * x for w, x in zip(weights, values)) / total
        chi_square = sum(w * (x - mean) ** 2 for w, x in zip(weights, values))
    else:
        mean, total, chi_square = _generalised(values, uncertainties, correlations)
    u, degrees = 1.0 / sqrt(total), n - 1
    ratio = sqrt(chi_square / degrees)
    return Consistency(
        mean=mean,
        u=u,
        chi_square=chi_square,
        degrees=degrees,
        p_value=float(chdtrc(degrees, chi_square)),
        birge_ratio=ratio,
        u_expanded=u * max(ratio, 1.0),
        normalised=tuple((x - mean) / s for x, s in zip(values, uncertainties)),
    )


def _generalised(
    values: Sequence[float], uncertainties: Sequence[float], correlations: Any
) -> tuple[float, float, float]:
    """Mean, its inverse variance and chi-square with a full covariance matrix."""
    import numpy as np

    r = np.asarray(correlations, dtype=float)
    n = len(values)
    if r.shape != (n, n):
        raise UsageError(f"correlations of shape {r.shape}", expected=f"({n}, {n})")
    if not (np.allclose(r, r.T) and np.allclose(np.diag(r), 1.0)):
        raise OutOfRangeError(
            "the correlations are no correlation matrix", expected="symmetric, 1s"
        )
    s = np.asarray(uncertainties, dtype=float)
    try:
        root = np.linalg.cholesky(r * np.outer(s, s))
    except np.linalg.LinAlgError:
        raise OutOfRangeError(
            "the correlations cannot all hold together", expected="a positive definite matrix"
        ) from None
    ones = np.linalg.solve(root, np.ones(n))
    scaled = np.linalg.solve(root, np.asarray(values, dtype=float))
    total = float(ones @ ones)
    mean = float(ones @ scaled) / total
    rest = scaled - mean * ones
    return mean, total, float(rest @ rest)


def _check(*numbers: float, least: float | None = None) -> None:
    for x in numbers:
        if not isfinite(x) or (least is not None and x < least):
            raise OutOfRangeError(
                f"{x:g} is no value or uncertainty",
                expected="a finite number" + ("" if least is None else ", nought or more"),
            )
