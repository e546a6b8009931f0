"""Figures in the columns of a table: units by heading, and what the whole column agrees on."""

from __future__ import annotations

from reconcile.limits.context import Context
from reconcile.limits.headings import stated_units, unit_of
from reconcile.limits.hung import hung_units
from reconcile.limits.subjects import Choice, choose_sense
from reconcile.notation.lexicon import Sense


def headed(
    ctx: Context, k: int, choices: list[Choice]
) -> tuple[Sense, str, str] | None:
    """Sense, subject and parameter of a bare number as the headings state them, or None."""
    stated = stated_units(ctx, k)
    if stated is None:
        return None
    senses = hung_units(ctx, k, unit_of(ctx, k, stated))
    sense, subject, parameter, _ = choose_sense(ctx, k, senses, choices)
    return sense, subject, parameter
