"""Check *plausible*: a figure outside what such a quantity can be.

Needs: a figure with a known kind, and its parameter where there is one. Abstains: for
kinds without bounds, for differences and changes. Source: tables/checks/plausible, wide
bounds by common practice. Agreement proves nothing and is not reported.
"""

from __future__ import annotations

from collections.abc import Iterator

from reconcile.checks.emend import Constraint, Suspect, emend
from reconcile.checks.material import Material
from reconcile.checks.show import show_value, with_form
from reconcile.checks.weigh import bounds_of
from reconcile.checks.words import words
from reconcile.records import Finding


def check_plausible(material: Material) -> Iterator[Finding]:
    """Findings on figures that are hardly credible."""
    for entry in material:
        side, limit = entry.side, entry.limit
        # What the reader already calls ambiguous is in doubt as it is.
        if (
            side is None
            or entry.figure.status == "ambiguous"
            or side.is_difference
            or words("change").search(limit.parameter or "")
        ):
            continue
        bounds = bounds_of(side, limit.parameter)
        if bounds is None:
            continue
        low, _, _, high = bounds
        usual_low, usual_high = bounds[1], bounds[2]
        bad = [float(si) for si in side.si if not low <= si <= high]
        if not bad:
            continue
        subject = limit.parameter or f"a {side.kind}"
        ends = (high, low) if side.form == "below_ambient" else (low, high)
        credible = " to ".join(show_value(end, side) for end in ends)
        yield Finding(
            "plausible",
            "in doubt",
            f"{entry.figure.as_written} is {show_value(bad[0], side)}, outside "
            f"{credible}, which {subject} can hardly leave.",
            limit_ids=(limit.id,),
            figure_ids=(entry.figure.id,),
            seen=with_form(entry.figure.as_written, side),
            expected=credible,
            difference_si=min(abs(bad[0] - low), abs(bad[0] - high)),
            emendations=emend(
                [Suspect(entry.figure, side, [_credible(usual_low, usual_high)], limit.parameter)]
            ),
            steps=(
                f"{entry.told} is {show_value(bad[0], side)}",
                f"bounds of {subject}: {credible} (tables/checks/plausible)",
            ),
        )


def _credible(low: float, high: float) -> Constraint:
    return Constraint("plausible", lambda side: all(low <= float(si) <= high for si in side.si))
