"""How finely a number was printed: the step of its last place, and what a column shows.

A number is as good as the step it was rounded to. That step is the last printed place or
the printed fraction, unless the number ends in zeros: "3,000" may be good to 1, to 10, to
50 or to 100. The other numbers of its column can tell; where they do, the choice, the odds
and what it changes are reported, never applied in silence.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from reconcile.errors import UsageError
from reconcile.measure.constants import constant
from reconcile.reference import load_rows


@cache
def _readiness() -> dict[int, Fraction]:
    """Steps that people round to, in units of the last printed place, and how readily."""
    return {int(row["step"]): Fraction(row["readiness"]) for row in load_rows("units/steps")}


@dataclass(frozen=True, slots=True)
class StepChoice:
    """What a column shows about the step its numbers were rounded to."""

    printed: Fraction
    """Step of the last printed place."""
    shown: Fraction
    """Step that the column as a whole shows; the printed one unless the odds are good."""
    odds: tuple[tuple[Fraction, float], ...]
    """Every step that fits all the numbers, with its probability, likeliest first."""
    distinct: int
    """How many different numbers there were to go by."""
    reason: str
    """One sentence: the choice, why, and its effect."""

    @property
    def is_coarser(self) -> bool:
        """True where the numbers seem to be rounded more coarsely than printed."""
        return self.shown > self.printed


def half_width(step: Fraction) -> Fraction:
    """Half-width of what prints the same: half the step (rectangular)."""
    return step / 2


def place_step(decimals: int) -> Fraction:
    """Step of the last decimal place: 1 for whole numbers, 1/100 for two decimals.

    Examples
    --------
    >>> place_step(2)
    Fraction(1, 100)
    """
    return Fraction(1, 10**decimals) if decimals >= 0 else Fraction(10**-decimals)


def fraction_step(denominator: int) -> Fraction:
    """Step of a vulgar fraction as printed: a quarter for 3/4, an eighth for 1/8.

    "1/2" among quarters was read to a quarter; see `step_of_fractions`.
    """
    if denominator < 1:
        raise UsageError(f"a fraction with denominator {denominator}", expected="1 or more")
    return Fraction(1, denominator)


def step_of_fractions(values: Iterable[Fraction]) -> Fraction:
    """Step of a set of numbers printed in vulgar fractions: their finest denominator.

    Examples
    --------
    >>> step_of_fractions([Fraction(9, 2), Fraction(21, 4), Fraction(6)])
    Fraction(1, 4)
    """
    return Fraction(1, max((v.denominator for v in values), default=1))


def trailing_steps(value: Fraction, printed: Fraction) -> tuple[Fraction, ...]:
    """Steps that a number ending in zeros may have been rounded to, finest first.

    Parameters
    ----------
    value : Fraction
    printed : Fraction
        Step of the last printed place.

    Examples
    --------
    >>> [int(s) for s in trailing_steps(Fraction(3000), Fraction(1))]
    [1, 10, 50, 100, 500, 1000]
    >>> [int(s) for s in trailing_steps(Fraction(2850), Fraction(1))]
    [1, 10, 50]
    """
    # Each zero may stand for a power of ten, or for its half-step, fifty and the like.
    steps = [printed, *(printed * digit * 10**k for k in range(1, 5) for digit in (1, 5))]
    return tuple(s for s in steps if s == printed or (value and (value / s).denominator == 1))


def infer_step(
    values: Sequence[Fraction], printed: Fraction, *, enough: Fraction | None = None
) -> StepChoice:
    """Step that the numbers of one column were rounded to.

    Parameters
    ----------
    values : sequence of Fraction
        The numbers of the column, in one unit. Repeats tell nothing new and are dropped.
    printed : Fraction
        Step of the last printed place, the same for all.
    enough : Fraction, optional
        Probability from which a coarser step is taken for shown; by default that of the
        table of constants.

    Returns
    -------
    choice : StepChoice

    Notes
    -----
    Were numbers rounded to a step s, each of the values in their span would be a multiple
    of s, and one such multiple as likely as another: n distinct numbers have likelihood
    proportional to s to the power n - 1 (the span costs one of them), or nothing where one
    is no multiple. The steps start as readily as people round to them; the printed one as
    likely as all the others together, since a number means what it prints until shown
    otherwise.

    A limit is often *chosen* round, not rounded; then the coarse step says how finely its
    author thought, and that is all.

    Examples
    --------
    >>> c = infer_step([Fraction(n) for n in (2850, 2650, 2400, 3000)], Fraction(1))
    >>> c.shown
    Fraction(50, 1)
    """
    distinct = sorted({abs(v) for v in values if v})
    n = len(distinct)
    if printed <= 0:
        raise UsageError(f"a printed step of {printed}", expected="above zero")
    fitting = [
        printed * k
        for k in _readiness()
        if all((v / (printed * k)).denominator == 1 for v in distinct)
    ]
    # A coarse step that even the smallest number falls below would leave nothing of it.
    fitting = [s for s in fitting if n and s <= distinct[0]] or [printed]
    if printed not in fitting:
        fitting.insert(0, printed)
    prior = {s: _readiness()[int(s / printed)] for s in fitting}
    prior[printed] = max(Fraction(1), sum(prior.values(), Fraction(-1)))
    weight = {s: prior[s] * (s / printed) ** max(0, n - 1) for s in fitting}
    total = sum(weight.values())
    odds = sorted(((s, float(weight[s] / total)) for s in fitting), key=lambda o: (-o[1], o[0]))
    best, probability = odds[0]
    enough = constant("step-probability") if enough is None else enough
    shown = best if n >= 3 and probability >= enough else printed
    return StepChoice(printed, shown, tuple(odds), n, _reason(printed, shown, odds, n))


def _reason(
    printed: Fraction, shown: Fraction, odds: Sequence[tuple[Fraction, float]], n: int
) -> str:
    def plain(x: Fraction) -> str:
        return str(x.numerator) if x.denominator == 1 else f"{float(x):g}"

    if shown > printed:
        return (
            f"all {n} different numbers are multiples of {plain(shown)} (odds "
            f"{_odds_text(odds[0][1])}): good to ± {plain(shown / 2)}, not ± {plain(printed / 2)}"
        )
    others = [s for s, _ in odds if s > printed]
    if others:
        return (
            f"taken as printed, good to ± {plain(printed / 2)}; {n} different "
            f"number{'s' if n != 1 else ''} would also fit steps of "
            + ", ".join(plain(s) for s in sorted(others))
            + f" (up to ± {plain(max(others) / 2)})"
        )
    return f"taken as printed, good to ± {plain(printed / 2)}: no coarser step fits"


def _odds_text(p: float) -> str:
    against = p / (1 - p) if p < 1 else float("inf")
    return "beyond 1000 to 1" if against > 1000 else f"{against:.0f} to 1"
