"""The list of checks, and the running of them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from importlib import import_module
from typing import Any

from reconcile.checks.emend import weigh_again
from reconcile.checks.material import Material
from reconcile.errors import UnknownTermError
from reconcile.records import Finding, Verdict, Witness
from reconcile.reference import Row, load_rows

_GRAVITY: dict[Verdict, int] = {
    "contradicts": 4,
    "in doubt": 3,
    "agrees": 2,
    "agrees within rounding": 1,
    "cannot tell": 0,
}


@cache
def check_rows() -> dict[str, Row]:
    """Rows of tables/checks/checks by slug: what each check needs, when it abstains, why."""
    return {row["slug"]: row for row in load_rows("checks/checks")}


def check(witnesses: Sequence[Witness], *, only: Iterable[str] = ()) -> list[Finding]:
    """Run the checks on everything that was read.

    Parameters
    ----------
    witnesses : sequence of Witness
        In order of authority.
    only : iterable of str, optional
        Slugs of the checks to run; all by default.

    Returns
    -------
    findings : list of Finding
        In the order of the registry, agreeing ones among them. Emendations are weighed by
        all findings on the figures they touch.

    Raises
    ------
    UnknownTermError
        No check goes by a slug in `only`.
    """
    wanted = tuple(only) or tuple(check_rows())
    for slug in wanted:
        if slug not in check_rows():
            raise UnknownTermError(f"no check is named {slug!r}", expected=", ".join(check_rows()))
    material = Material.of(witnesses)
    findings: list[Finding] = []
    for slug in wanted:
        findings.extend(_function(check_rows()[slug]["function"])(material))
    sides = {e.figure.id: e.side for e in material if e.side is not None}
    return weigh_again(findings, sides)


def _function(path: str) -> Any:
    module, _, name = path.partition(":")
    return getattr(import_module(module), name)


def tally(witnesses: Sequence[Witness], findings: Sequence[Finding]) -> dict[str, int]:
    """Limits by the gravest verdict on each; the counts add up to the number of limits.

    A limit that no check could judge counts as "cannot tell". A strong agreement is not
    outweighed by "cannot tell", but by any doubt.
    """
    worst: dict[str, Verdict] = {}
    for finding in findings:
        for limit_id in finding.limit_ids:
            if _GRAVITY[finding.verdict] >= _GRAVITY[worst.get(limit_id, "cannot tell")]:
                worst[limit_id] = finding.verdict
    counts: dict[str, int] = dict.fromkeys(_GRAVITY, 0)
    for witness in witnesses:
        for limit in witness.limits:
            counts[worst.get(limit.id, "cannot tell")] += 1
    return counts
