"""Choices of a profile's reader, condition, gear, fuel grade and mixture, held to what there is."""

from __future__ import annotations

from functools import cache

from reconcile.errors import UnknownTermError
from reconcile.publish.profile import Profile
from reconcile.reference import load_rows, near_terms


@cache
def _words(role: str) -> tuple[str, ...]:
    """Values of a field that the vocabulary has."""
    return tuple(
        dict.fromkeys(
            row["value"]
            for row in load_rows("publish/profile-terms")
            if row["role"] == role and row["value"]
        )
    )


def check_choice(
    profile: Profile,
    condition: str | None,
    gear: str | None,
    fuel_grade: str | None,
    mixture: str | None,
) -> None:
    """A misspelt choice must not leave limits out without a word.

    Raises
    ------
    UnknownTermError
        As `binding_limits`.
    """
    if condition is not None and condition not in profile.conditions:
        raise UnknownTermError(
            f"the profile has no limit for the condition {condition!r}",
            expected=near_terms(condition, filter(None, profile.conditions)),
        )
    for field, word in (("gear", gear), ("mixture", mixture)):
        if word is not None and word not in _words(field):
            raise UnknownTermError(
                f"no {field} is called {word!r}", expected=" or ".join(_words(field))
            )
    grades = {
        limit["fuel_grade"]
        for limit in (*profile.limits, *profile.unproved)
        if "fuel_grade" in limit
    }
    if fuel_grade is not None and grades and fuel_grade not in grades:
        raise UnknownTermError(
            f"the profile has no limit for the fuel grade {fuel_grade!r}",
            expected="one of " + ", ".join(sorted(grades)),
        )
