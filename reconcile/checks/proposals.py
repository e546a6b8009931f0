"""Explanations turned into emendations: the figure to adopt, and why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from reconcile.checks.forms import FORMLESS
from reconcile.checks.show import end_sentence
from reconcile.checks.sides import Side
from reconcile.checks.weigh import Explanation, cause_rows
from reconcile.measure.units import unit_row
from reconcile.records import Emendation, Figure

if TYPE_CHECKING:
    from reconcile.measure.quantity import Quantity

_LEAST_ODDS = 1e-4


def emendations_of(
    figures: tuple[Figure, Figure], ranked: list[Explanation], slug: str, rivals: bool
) -> tuple[Emendation, ...]:
    """One emendation a cause (and figure, with `rivals`), its odds the sum of its readings."""
    readings: dict[tuple[str, int | None], list[Explanation]] = {}
    for one in ranked:
        at = (one.cause, one.faulty if rivals else None)
        readings.setdefault(at, []).append(one)
    total = {at: sum(one.odds for one in found) for at, found in readings.items()}
    return tuple(
        _emendation(figures, readings[at][0], readings[at], total[at], slug)
        for at in sorted(total, key=lambda at: -total[at])
        if total[at] >= _LEAST_ODDS
    )


def _emendation(
    figures: tuple[Figure, Figure],
    one: Explanation,
    rivals: list[Explanation],
    odds: float,
    slug: str,
) -> Emendation:
    reason = said_of(one.cause, one.reason)
    if len(rivals) > 1 and rivals[1].odds > 0.2 * one.odds and rivals[1].side is not None:
        reason += f" (or {rivals[1].reason})" if rivals[1].reason else ""
    if one.faulty is None or one.side is None:
        return Emendation(one.cause, None, odds, reason)
    proposed = figure_reading(figures[one.faulty], one.side, said_of(one.cause, one.reason))
    return Emendation(one.cause, proposed, odds, reason, (slug,))


def said_of(cause: str, detail: str) -> str:
    """A fault in words: its title, and behind it what the title does not say."""
    title = cause_rows()[cause]["title"]
    return f"{title}: {detail}" if detail and detail != title else title


def likeliest(emendations: Sequence[Emendation]) -> str:
    """The sentence that ends the evidence: the cause that the first proposal goes by."""
    return f" Most likely: {end_sentence(emendations[0].reason)}" if emendations else ""


def figure_reading(figure: Figure, side: Side, reason: str) -> Figure:
    """A copy of `figure` that reads as `side` does, marked repaired."""
    quantity = figure.quantity
    low, high = side.ends[0], side.ends[-1]
    if quantity.plus_minus and len(side.ends) == 2:
        numbers = {"nominal": (low + high) / 2, "lo": quantity.lo, "hi": quantity.hi}
        numbers["plus_minus"] = abs(high - low) / 2
        if quantity.lo is not None:
            numbers |= {"lo": low, "hi": high}
    elif len(side.ends) == 2:
        inside = quantity.nominal is not None and low <= quantity.nominal <= high
        nominal = quantity.nominal if inside else None
        numbers = {"nominal": nominal, "lo": low, "hi": high}
    else:
        numbers = {"nominal": low}
        if quantity.nominal is None:
            numbers = {"lo": low} if quantity.lo is not None else {"hi": low}
    row = unit_row(side.unit)
    unit = {} if row.ucum == quantity.unit else {"unit": row.ucum, "unit_slug": row.slug}
    form = side.form if quantity.kind == "pressure" and _form_changed(figure, side) else None
    forms = {} if form is None else {"form": form}
    mended = replace(quantity, **numbers, **unit, **forms, resolution=side.place)  # type: ignore[arg-type]
    return figure_with(figure, mended, reason)


def _form_changed(figure: Figure, side: Side) -> bool:
    # A change or a difference keeps having no form; an unknown one is now supposed.
    return side.form != figure.reference_form and figure.reference_form not in FORMLESS[1:]


def figure_with(figure: Figure, quantity: Quantity, reason: str) -> Figure:
    """A copy of `figure` with another quantity, marked repaired."""
    return replace(
        figure,
        quantity=quantity,
        status="repaired",
        candidates=(),
        repairs=(*figure.repairs, reason),
    )
