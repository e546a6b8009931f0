"""Propagation of distributions by Monte Carlo, as the GUM's first supplement lays down.

Used where the linear law may not do, and to prove it where it does.

References
----------
[S1] JCGM 101:2008, Supplement 1 to the GUM: propagation of distributions.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil, floor, log10, sqrt
from typing import TYPE_CHECKING, Any

from reconcile.errors import OutOfRangeError, UsageError
from reconcile.measure.budget import Budget
from reconcile.measure.contributions import coverage_factor_of
from reconcile.measure.distributions import Distribution, distribution_of

if TYPE_CHECKING:
    import numpy as np

    Column = np.ndarray[Any, np.dtype[np.float64]]

_MAX_TRIALS = 4_000_000
_LEAST_BATCH = 10_000


@dataclass(frozen=True, slots=True)
class MonteCarlo:
    """Result of a Monte Carlo propagation."""

    mean: float
    u: float
    probability: float
    symmetric: tuple[float, float]
    """Coverage interval that leaves out as much on either side (probabilistically)."""
    shortest: tuple[float, float]
    trials: int
    tolerance: float
    """What the digits asked for allow the results to scatter by; nought for a fixed run."""
    is_stable: bool
    """Whether the adaptive procedure met its tolerance; True for a fixed run."""

    def interval(self, which: str = "symmetric") -> tuple[float, float]:
        """The coverage interval of that kind, ``"symmetric"`` or ``"shortest"``."""
        if which not in ("symmetric", "shortest"):
            raise UsageError(f"no interval {which!r}", expected="symmetric or shortest")
        return self.symmetric if which == "symmetric" else self.shortest


@dataclass(frozen=True, slots=True)
class Validation:
    """Whether the linear law stands up to a Monte Carlo run (clause 8)."""

    is_valid: bool
    tolerance: float
    lower_difference: float
    upper_difference: float
    linear: tuple[float, float]
    monte_carlo: tuple[float, float]


def propagate_distributions(
    function: Callable[..., Any],
    inputs: Sequence[Distribution],
    *,
    probability: float = 0.95,
    trials: int | None = None,
    digits: int = 2,
    max_trials: int = _MAX_TRIALS,
    correlations: Mapping[tuple[int, int], float] | None = None,
    seed: int = 101,
) -> MonteCarlo:
    """Propagate distributions through a function of columns.

    Parameters
    ----------
    function : callable
        Takes one column of values, shape (n,), for each input; gives a column as long.
    inputs : sequence of Distribution
    probability : float
        Coverage probability of the intervals.
    trials : int, optional
        A fixed number of trials; without it they go on until mean, u and the ends of the
        interval are stable to `digits` of u (adaptive procedure).
    digits : int
        Significant digits of u that matter.
    max_trials : int
        Where the adaptive procedure gives up; `is_stable` is then False.
    correlations : mapping of (index, index) to coefficient, optional
        Of inputs with `normal` distributions.
    seed : int
        Same seed, same result.

    Returns
    -------
    result : MonteCarlo

    Raises
    ------
    OutOfRangeError
        The function gives values that are not finite, or a probability cannot be.
    UsageError
        The function gives a column of another length; too few trials for the probability;
        correlations of inputs that are not normal.

    References
    ----------
    [S1] clauses 7.2 to 7.9.

    Examples
    --------
    >>> from reconcile.measure.distributions import Rectangular
    >>> inputs = [Rectangular(-1.0, 1.0), Rectangular(-1.0, 1.0)]
    >>> result = propagate_distributions(lambda a, b: a + b, inputs, trials=100_000)
    >>> round(result.u, 2), round(result.symmetric[1], 1)
    (0.82, 1.6)
    """
    import numpy as np

    if not 0.0 < probability < 1.0:
        raise OutOfRangeError(
            f"a coverage probability of {probability:g}", expected="between 0 and 1"
        )
    least = ceil(100.0 / (1.0 - probability))
    rng = np.random.default_rng(seed)
    draw = _drawer(inputs, correlations or {})
    if trials is not None:
        if trials < least:
            raise UsageError(
                f"{trials} trials for a coverage probability of {probability:g}",
                expected=f"{least} or more",
            )
        values = _evaluate(function, draw(rng, trials))
        return _summary(values, probability, 0.0, True)
    batch = max(least, _LEAST_BATCH)
    batches: list[Column] = []
    found: list[tuple[float, ...]] = []
    while True:
        values = _evaluate(function, draw(rng, batch))
        batches.append(values)
        ends = _symmetric(np.sort(values), probability)
        found.append((float(values.mean()), float(values.std(ddof=1)), *ends))
        h = len(found)
        if h > 1:
            scatter = np.std(found, axis=0, ddof=1) / sqrt(h)
            u = sqrt(float(np.mean([v.var() for v in batches])) + float(np.var(found, axis=0)[0]))
            tolerance = numerical_tolerance(u, digits) if u > 0.0 else 0.0
            stable = bool(np.all(2.0 * scatter <= tolerance))
            if stable or (h + 1) * batch > max_trials:
                return _summary(np.concatenate(batches), probability, tolerance, stable)


def numerical_tolerance(u: float, digits: int = 2) -> float:
    """Half a unit in the last of the significant digits that matter of a u.

    References
    ----------
    [S1] 7.9.2.

    Examples
    --------
    >>> numerical_tolerance(0.0754, 1), numerical_tolerance(35.0, 2)
    (0.005, 0.5)
    """
    if not u > 0.0 or digits < 1:
        raise OutOfRangeError(
            f"a standard uncertainty of {u:g} to {digits} digits", expected="more than nought"
        )
    place = floor(log10(u)) - digits + 1
    # 0.0996 to two digits is 0.10, one place further up.
    if round(u / 10.0**place) >= 10**digits:
        place += 1
    return 0.5 * 10.0**place


def validate_linear(
    y: float,
    u: float,
    monte_carlo: MonteCarlo,
    *,
    coverage_factor: float | None = None,
    digits: int = 1,
    which: str = "symmetric",
) -> Validation:
    """Set the interval of the linear law against that of a Monte Carlo run.

    Parameters
    ----------
    y, u : float
        Value and standard uncertainty by the linear law.
    monte_carlo : MonteCarlo
    coverage_factor : float, optional
        Of the linear interval; that of the normal law by default.
    digits : int
        Significant digits of u that matter.
    which : str
        Interval compared: ``"symmetric"`` or ``"shortest"``.

    Returns
    -------
    validation : Validation

    References
    ----------
    [S1] 8.1, 8.2.
    """
    k = coverage_factor or coverage_factor_of(monte_carlo.probability)
    linear = (y - k * u, y + k * u)
    low, high = monte_carlo.interval(which)
    # A linear u of nought cannot set the tolerance; that of the run can.
    tolerance = numerical_tolerance(u or monte_carlo.u, digits)
    below, above = abs(linear[0] - low), abs(linear[1] - high)
    return Validation(
        is_valid=below <= tolerance and above <= tolerance,
        tolerance=tolerance,
        lower_difference=below,
        upper_difference=above,
        linear=linear,
        monte_carlo=(low, high),
    )


def check_budget(
    function: Callable[..., Any],
    budget: Budget,
    *,
    probability: float = 0.95,
    digits: int = 1,
    seed: int = 101,
) -> Validation:
    """Prove a linear budget by a Monte Carlo run over its own inputs.

    Parameters
    ----------
    function : callable
        As for `propagate_distributions`, its inputs in the order of the contributions.
    budget : Budget
        Made by the linear law from the same function.
    probability, digits, seed
        As above.

    Returns
    -------
    validation : Validation

    Raises
    ------
    MeasureError
        Nothing is known of some input.
    """
    names = [c.name for c in budget.contributions]
    result = propagate_distributions(
        function,
        [distribution_of(c.distribution, c.value, c.u, c.degrees) for c in budget.contributions],
        probability=probability,
        digits=digits,
        correlations={
            (names.index(a), names.index(b)): r for (a, b), r in budget.correlations.items()
        },
        seed=seed,
    )
    expanded = budget.expanded(probability)
    return validate_linear(
        budget.value,
        budget.standard_uncertainty or 0.0,
        result,
        coverage_factor=expanded.coverage_factor,
        digits=digits,
    )


def _drawer(
    inputs: Sequence[Distribution], correlations: Mapping[tuple[int, int], float]
) -> Callable[[np.random.Generator, int], list[Column]]:
    import numpy as np

    tied = sorted({i for pair, r in correlations.items() if r for i in pair})
    if not tied:
        return lambda rng, n: [x.draw(rng, n) for x in inputs]
    from reconcile.measure.distributions import Normal

    for i in tied:
        if not 0 <= i < len(inputs) or not isinstance(inputs[i], Normal):
            raise UsageError(
                f"input {i} is correlated with another and not normal",
                expected="normal distributions for correlated inputs",
            )
    matrix = np.eye(len(tied))
    for (a, b), r in correlations.items():
        if r:
            matrix[tied.index(a), tied.index(b)] = matrix[tied.index(b), tied.index(a)] = r
    try:
        root = np.linalg.cholesky(matrix + 1e-14 * np.eye(len(tied)))
    except np.linalg.LinAlgError:
        raise OutOfRangeError(
            "the correlations cannot all hold together", expected="a positive definite matrix"
        ) from None

    def draw(rng: np.random.Generator, n: int) -> list[Column]:
        together = root @ rng.standard_normal((len(tied), n))
        return [
            x.mean + x.u * together[tied.index(i)] if i in tied else x.draw(rng, n)
            for i, x in enumerate(inputs)
        ]

    return draw


def _evaluate(function: Callable[..., Any], columns: Sequence[Column]) -> Column:
    import numpy as np

    with np.errstate(all="ignore"):
        values = np.asarray(function(*columns), dtype=np.float64)
    if values.shape != columns[0].shape:
        raise UsageError(
            f"the function gives values of shape {values.shape}",
            expected=f"shape {columns[0].shape}, one value a trial",
        )
    if not np.isfinite(values).all():
        bad = int(np.argmin(np.isfinite(values)))
        at = ", ".join(f"{column[bad]:.6g}" for column in columns)
        raise OutOfRangeError(
            f"the function is not finite at ({at})",
            do="narrow the inputs to where the function holds",
        )
    return values


def _symmetric(ordered: Column, probability: float) -> tuple[float, float]:
    m = ordered.size
    q = _covered(m, probability)
    r = (m - q) // 2 if (m - q) % 2 == 0 else (m - q + 1) // 2
    r = max(r, 1)
    return float(ordered[r - 1]), float(ordered[r + q - 1])


def _covered(m: int, probability: float) -> int:
    exact = probability * m
    whole = round(exact)
    # pM if that is whole, else the integer part of pM + 1/2; never all of them.
    return min(whole if abs(exact - whole) < 1e-6 else floor(exact + 0.5), m - 1)


def _summary(values: Column, probability: float, tolerance: float, is_stable: bool) -> MonteCarlo:
    import numpy as np

    ordered = np.sort(values)
    m, q = ordered.size, _covered(ordered.size, probability)
    widths = ordered[q:] - ordered[: m - q]
    r = int(np.argmin(widths))
    return MonteCarlo(
        mean=float(ordered.mean()),
        u=float(ordered.std(ddof=1)),
        probability=probability,
        symmetric=_symmetric(ordered, probability),
        shortest=(float(ordered[r]), float(ordered[r + q])),
        trials=m,
        tolerance=tolerance,
        is_stable=is_stable,
    )
