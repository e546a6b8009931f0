"""How good are two keyings of one source, and how many errors did nobody see?

Two people key the same pages. Where they differ one of them (at least) erred; where both
erred alike nobody sees it. From the differences follow the error rate of a keying and the
number of such blind errors; from errors that two independent ways of checking found, the
number both missed.

References
----------
[Wilson] E. B. Wilson, Probable inference, the law of succession, and statistical
    inference, Journal of the American Statistical Association 22 (1927), 209.
[Chapman] D. G. Chapman, Some properties of the hypergeometric distribution with
    applications to zoological sample censuses, University of California Publications in
    Statistics 1 (1951), 131.
[Seber] G. A. F. Seber, The Estimation of Animal Abundance (2nd ed., 1982), eq. 3.2.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import NormalDist

from reconcile.checks.collate import collate
from reconcile.errors import UsageError
from reconcile.records import Finding, Witness

SAME_SLIP = 0.1
"""Probability that two wrong keyings of one figure are wrong alike. Judged, no source."""


@dataclass(frozen=True, slots=True)
class Rate:
    """A proportion with its interval."""

    count: int
    of: int
    rate: float
    low: float
    high: float
    confidence: float


@dataclass(frozen=True, slots=True)
class Keying:
    """Double-keying comparison of two witnesses of one source."""

    figures: int
    """Figures that both keyed."""
    only_first: int
    only_second: int
    differences: Rate
    error_rate: Rate
    """Errors a figure of one keying, were both keyers equally good."""
    undetected: float
    """Expected figures that both keyed wrong alike."""
    undetected_high: float


@dataclass(frozen=True, slots=True)
class Census:
    """Estimate of all errors from two independent ways of finding them."""

    found: int
    total: float
    standard_error: float
    undetected: float


def proportion(count: int, of: int, confidence: float = 0.95) -> Rate:
    """A proportion with Wilson's score interval.

    Parameters
    ----------
    count, of : int
    confidence : float

    References
    ----------
    [Wilson]

    Examples
    --------
    >>> rate = proportion(1, 10)
    >>> round(rate.low, 4), round(rate.high, 4)
    (0.0179, 0.4042)
    """
    if not 0 <= count <= of or of < 1:
        raise UsageError(f"{count} of {of} is no proportion", expected="0 <= count <= of, of > 0")
    z = NormalDist().inv_cdf(0.5 + confidence / 2)
    rate = count / of
    middle = (rate + z * z / (2 * of)) / (1 + z * z / of)
    half = z / (1 + z * z / of) * math.sqrt(rate * (1 - rate) / of + z * z / (4 * of * of))
    return Rate(count, of, rate, max(0.0, middle - half), min(1.0, middle + half), confidence)


def chapman(first: int, second: int, both: int) -> Census:
    """How many errors there are, from two independent ways of finding them.

    Parameters
    ----------
    first, second : int
        Errors that each way found.
    both : int
        Errors that both found.

    Returns
    -------
    census : Census
        Nearly unbiased estimate of the total, its standard error, and what both missed.

    Notes
    -----
    Holds where the two ways do not lead each other; errors that are hard to see for both
    make the estimate too low.

    References
    ----------
    [Chapman], [Seber] eq. 3.2 and 3.3.

    Examples
    --------
    >>> census = chapman(50, 40, 25)
    >>> round(census.total, 2), census.found
    (79.42, 65)
    """
    if min(first, second, both) < 0 or both > min(first, second):
        raise UsageError(
            f"{both} errors found by both, {first} and {second} by each",
            expected="both no more than either",
        )
    total = (first + 1) * (second + 1) / (both + 1) - 1
    variance = 1.0 * (first + 1) * (second + 1) * (first - both) * (second - both)
    variance /= (both + 1) ** 2 * (both + 2)
    found = first + second - both
    return Census(found, total, math.sqrt(variance), max(0.0, total - found))


def compare_keyings(
    first: Witness, second: Witness, *, same_slip: float = SAME_SLIP, confidence: float = 0.95
) -> Keying:
    """Compare two keyed transcriptions of one source, figure by figure.

    Parameters
    ----------
    first, second : Witness
    same_slip : float
        Probability that two wrong keyings of one figure are wrong alike.
    confidence : float

    Returns
    -------
    keying : Keying

    Notes
    -----
    With an error rate p a figure, the two differ with probability
    2 p (1 - p) + p^2 (1 - s), s the chance of the same slip; p follows from the share that
    differs, and n p^2 s figures are expected to be wrong alike in both.
    """
    groups = collate([first, second]).groups
    paired = [g for g in groups if len(g.readings) == 2]
    if not paired:
        raise UsageError(
            "the two keyings have no limit in common", do="compare keyings of the same pages"
        )
    figures = differing = 0
    for group in paired:
        for one, other in zip(group.twins[0], group.twins[1]):
            figures += 1
            differing += (
                one.side is None
                or other.side is None
                or (one.side.si != other.side.si or one.figure.unit != other.figure.unit)
            )
    differences = proportion(differing, figures, confidence)
    rate, low, high = (
        _error_rate(share, same_slip)
        for share in (differences.rate, differences.low, differences.high)
    )
    return Keying(
        figures=figures,
        only_first=sum(0 in g.readings for g in groups) - len(paired),
        only_second=sum(1 in g.readings for g in groups) - len(paired),
        differences=differences,
        error_rate=Rate(differing, 2 * figures, rate, low, high, confidence),
        undetected=figures * rate**2 * same_slip,
        undetected_high=figures * high**2 * same_slip,
    )


def _error_rate(share: float, same_slip: float) -> float:
    """p of 2 p (1 - p) + p^2 (1 - s) = share, the smaller root."""
    square = 1 + same_slip
    inside = max(0.0, 1 - square * share)
    return (1 - math.sqrt(inside)) / square


def estimate_undetected(
    findings: Sequence[Finding],
    ways: tuple[Iterable[str], Iterable[str]] = (
        ("twins",),
        ("witnesses",),
    ),
) -> Census:
    """Errors that two kinds of check both missed, from those that each found.

    Parameters
    ----------
    findings : sequence of Finding
    ways : two iterables of str
        Slugs of the checks that make up each way. Only figures that both ways judged
        count; the rest could have been found by one alone.
    """
    judged: list[set[str]] = []
    bad: list[set[str]] = []
    for slugs in ways:
        mine = set(slugs)
        judged.append({i for f in findings if f.check in mine for i in f.figure_ids})
        bad.append({_faulty(f) for f in findings if f.check in mine and _is_fault(f)})
    able = judged[0] & judged[1]
    first, second = bad[0] & able, bad[1] & able
    return chapman(len(first), len(second), len(first & second))


def _is_fault(finding: Finding) -> bool:
    return finding.verdict == "contradicts"


def _faulty(finding: Finding) -> str:
    """Id of the figure most likely at fault."""
    for emendation in finding.emendations:
        if emendation.proposed is not None:
            return emendation.proposed.id
    return finding.figure_ids[0]
