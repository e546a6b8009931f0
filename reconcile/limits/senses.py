"""What a unit and the words near it make of a figure: its sense, and the name it goes by."""

from __future__ import annotations

from bisect import bisect_left
from functools import cache

from reconcile.limits.context import Context
from reconcile.limits.sense import is_plausible
from reconcile.limits.terms import (
    default_parameter,
    reference_form,
    subject_kinds,
    usual_of_all,
)
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense
from reconcile.notation.wordsets import word_map, word_set

UNNAMED = 99.0
"""Distance given to a figure whose subject no words name."""


Choice = tuple[float, str]


def with_port(ctx: Context, k: int, parameter: str) -> str:
    """Oil and coolant temperatures by where they are taken: going in or coming out."""
    ports = _PORTS.get(parameter)
    starts = ctx.starts.get("port")
    if ports is None or not starts:
        return parameter
    draft = ctx.drafts[k]
    place = ctx.cell_of[k]
    if place is not None:
        grid, cell = place
        spans = (cell.span, *reversed(ctx.column_path(grid, cell)), *reversed(cell.row))
        for span in spans:
            for spot in ctx.spots_in("port", span):
                return ports.get(spot.value, parameter)
        return parameter
    spots = ctx.roles["port"]
    here = bisect_left(starts, draft.i)
    if here:
        spot = spots[here - 1]
        between = ctx.drafts_between(spot.j, draft.i)
        named = bisect_left(ctx.starts.get("subject", []), spot.j)
        alone = named >= len(ctx.roles.get("subject", ())) or (
            ctx.roles["subject"][named].i >= draft.i
        )
        same = alone and all(ctx.drafts[b].kind == draft.kind for b in between)
        if ctx.barrier(spot.j, draft.i) < (4.5 if between else 2.5) and (same or not between):
            return ports.get(spot.value, parameter)
    if here < len(spots):
        spot = spots[here]
        if spot.i - draft.j <= 3 and ctx.barrier(draft.j, spot.i) < 0.7:
            return ports.get(spot.value, parameter)
    return parameter


_PORTS = {
    of: {port: name for port, _, name in (words.partition(" ") for words in ports)}
    for of, ports in word_map("ports").items()
}


def choose_sense(
    ctx: Context, k: int, senses: tuple[Sense, ...], choices: list[Choice]
) -> tuple[Sense, str, str, float]:
    """Sense, subject, parameter and distance that fit best; subject blank where none is named."""
    kinds = subject_kinds()
    value = ctx.drafts[k].value
    other = None if ctx.drafts[k].odd_mark else ctx.drafts[k].other
    swapped = None if other is None else other[0] if other[0] is not None else other[2]
    best: tuple[float, Sense, str, str] | None = None
    if not getattr(ctx, "speech", False) and len(senses) > 1:
        # only in talk is a speed given in miles
        senses = tuple(s for s in senses if s.rank == 1 or s.unit != "[mi_i]/h") or senses
    for sense in senses:
        penalty = 0.0 if sense.rank == 1 else 0.12
        for distance, subject in choices:
            parameter = kinds.get(subject, _NONE).get(sense.kind)
            if parameter is None:
                continue
            parameter = named(parameter, sense, ctx.tradition, ctx.drafts[k])
            if parameter in _HEIGHTS and sense.unit in _SHORT:
                continue  # "850 мм" is no height
            if sense.rank == 2 and sense.unit in _OF_MERCURY and parameter not in _BY_MERCURY:
                continue  # "4·9 in." of a radiator is a length
            total = distance + penalty + (0.25 if (subject, sense.kind) in _SELDOM else 0.0)
            fits = is_plausible(value, sense.unit, parameter) and not (
                distance > _ADJACENT
                and (sense.unit in _OF_INTAKE or sense.form == "absolute")
                and reference_form(parameter, ctx.tradition) == "gauge"
            )  # 64 in. Hg is not the coolant's, though nearer words speak of it
            if not fits and swapped is not None:
                fits = is_plausible(swapped, sense.unit, parameter)
            if not fits:
                # what is named right before it is doubted sooner than passed over
                total += 3.0 if distance < _RIGHT_BEFORE else 8.0
            if sense.rank > 1 and sense.kind == "pressure" and not _is_usual(parameter, sense.unit):
                total += 3.0
            if best is None or total < best[0]:
                best = (total, sense, subject, parameter)
            if fits:
                break
    if best is not None and best[0] < 8.0:
        return best[1], best[2], best[3], best[0]
    plain = min(senses, key=lambda s: s.rank)
    usual = default_parameter(plain.kind, plain.unit, ctx.tradition)
    if plain.kind == "volume" and any(
        near < _BESIDE and "pressure" in (had := kinds.get(subject, _NONE)) and "volume" not in had
        for near, subject in choices
    ):
        return plain, "", "", UNNAMED  # "Oxygen, 750 litres" is no fuel
    if usual and is_plausible(value, plain.unit, usual):
        return plain, "", usual, UNNAMED
    if best is not None:
        return best[1], best[2], best[3], best[0]
    sense = min(senses, key=lambda s: s.rank)
    return sense, "", default_parameter(sense.kind, sense.unit, ctx.tradition), UNNAMED


_RIGHT_BEFORE = 0.03


_BESIDE = 6.5
"""Distance within which what is named is what a figure is of, though it has no such kind."""


@cache
def _is_usual(parameter: str, unit: str) -> bool:
    """Whether a pressure is ever printed in that unit: oil is not in "inches" unsaid of what."""
    units = {usual.unit for usual in usual_of_all(parameter)}
    return not units or unit in units or not unit.endswith("Hg]")


_COPULAS = word_set("between-name-and-value")


def named_beside(ctx: Context, k: int, sense: Sense, parameter: str) -> str:
    """Parameter that words right before a figure name, where it was taken for another."""
    starts = ctx.starts.get("subject")
    draft = ctx.drafts[k]
    if not starts or ctx.cell_of[k] is not None:
        return ""
    at = bisect_left(starts, draft.i) - 1
    if at < 0:
        return ""
    spot = ctx.roles["subject"][at]
    if spot.group or any(word not in _COPULAS for word in ctx.t.norm[spot.j : draft.i]):
        return ""
    told = subject_kinds().get(spot.value, _NONE).get(sense.kind, "")
    return "" if told == parameter else told


def named(parameter: str, sense: Sense, tradition: str, draft: Draft) -> str:
    """Boost counts from a datum, manifold pressure from nothing: the unit tells which."""
    if sense.kind == "other":
        return default_parameter("other", sense.unit, tradition) or parameter
    if sense.kind == "speed":
        slow = sense.unit in _CLIMB_UNITS
        if parameter == "rate of climb" and not slow:
            return "airspeed"
        if parameter == "airspeed" and slow and sense.unit != "m/s":
            return "rate of climb"
        return parameter
    signed = draft.sign and tradition not in _UNSIGNED
    if parameter in _INTAKES and sense.unit in _JAPANESE_BOOST and signed:
        value = draft.value
        if value is not None and abs(value) < 500:
            return "boost"  # what has a sign is not counted from nothing
    if parameter == "boost":
        if sense.unit == "[psi]" and not sense.form:
            return "boost"
        if tradition == "japanese" and sense.unit in _JAPANESE_BOOST:
            value = draft.value
            return "boost" if draft.sign or value is None or abs(value) < 500 else _MANIFOLD
        return _MANIFOLD
    if parameter == _MANIFOLD and tradition == "british" and sense.unit == "[psi]" and draft.sign:
        return "boost"
    return parameter


_ADJACENT = 0.3


_OF_INTAKE = frozenset({"[in_i'Hg]", "cm[Hg]", "mm[Hg]"})


_HEIGHTS = word_set("far-subjects")


_SHORT = frozenset({"mm", "cm", "[in_i]", "[mil_i]"})


_OF_MERCURY = frozenset({"[in_i'Hg]", "mm[Hg]"})


_BY_MERCURY = word_set("by-mercury")
"""What bare inches or millimetres may be a pressure of."""


_CLIMB_UNITS = frozenset({"[ft_i]/min", "m/s", "m/min", "[ft_i]/s"})


_MANIFOLD = "manifold pressure"


_INTAKES = frozenset({"boost", _MANIFOLD})


_UNSIGNED = frozenset({"german", "italian"})
"""Traditions whose gauges of the intake have no zero in the middle."""


_JAPANESE_BOOST = frozenset({"mm[Hg]", "cm[Hg]"})


_SELDOM = frozenset({("oil", "mass"), ("fuel", "mass"), ("coolant", "mass")})


_NONE: dict[str, str] = {}
