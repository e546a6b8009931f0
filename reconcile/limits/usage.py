"""Numbers with no unit, by what the tables say is usual for what is named."""

from __future__ import annotations

from reconcile.limits.context import Context
from reconcile.limits.meaning import Meaning, new_meaning
from reconcile.limits.sense import is_plausible
from reconcile.limits.senses import named
from reconcile.limits.settle import settle_number
from reconcile.limits.terms import Usual, usual_units
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense

NONE = frozenset[str]()


def mendable(draft: Draft, sense: Sense, parameter: str) -> bool:
    """Whether the number marks or the degree mark, read otherwise, make the size possible."""
    other = draft.other
    if other is not None:
        swapped = other[0] if other[0] is not None else other[2]
        if is_plausible(swapped, sense.unit, parameter):
            return True
    value = draft.value
    return (
        sense.kind == "temperature"
        and value is not None
        and value % 10 == 0
        and is_plausible(value / 10, sense.unit, parameter)
    )


def by_usage(
    ctx: Context, draft: Draft, subject: str, allowed: dict[str, str], scale: int,
    *, tabled: bool = False,
) -> Meaning | None:  # fmt: skip
    """The meaning a bare number has by the usage of the trade, in the usual unit."""
    value = draft.value
    if value is None:
        return None
    for kind, parameter in allowed.items():
        if scale > 1 and not (kind == "rotational_speed" or (scale == 10 and kind == "pressure")):
            continue
        for usual in _as_here(ctx, kind, usual_units(parameter, ctx.tradition, tabled=tabled)):
            if usual.kind != kind:
                continue
            sense = Sense(usual.unit, kind, "", NONE, "after", 1)
            size = value * scale
            if not usual.lo <= size <= usual.hi and not (
                scale == 1 and mendable(draft, sense, parameter)
            ):
                continue
            if scale > 1:
                rescale(draft, scale)
            meaning = new_meaning(
                draft, sense, subject, named(parameter, sense, ctx.tradition, draft)
            )
            settle_number(ctx, meaning)
            if kind not in {"rotational_speed", "ratio"}:
                draft.supposed.append(f"unit {usual.unit} supposed, as usual for {parameter}")
            return meaning
    return None


def _as_here(ctx: Context, kind: str, units: tuple[Usual, ...]) -> tuple[Usual, ...]:
    """`units`, but speeds in the unit that those with one have in this text."""
    if kind != "speed":
        return units
    here: set[str] | None = ctx.memo.get(("speeds", 0))
    if here is None:
        here = ctx.memo["speeds", 0] = {
            sense.unit
            for draft in ctx.drafts
            for sense in draft.senses[:1]
            if sense.kind == "speed" and sense.unit in _FLOWN
        }
    if len(here) != 1:
        return units
    unit = next(iter(here))
    first = tuple(usual for usual in units if usual.unit == unit)
    return first or tuple(usual._replace(unit=unit) for usual in units)


_FLOWN = frozenset({"[mi_i]/h", "[kn_i]", "km/h"})


def rescale(draft: Draft, scale: int) -> None:
    for name in ("nominal", "lo", "hi", "plus_minus", "resolution"):
        number = getattr(draft, name)
        if number is not None:
            setattr(draft, name, number * scale)
