"""What else a bare number may be, where its subject is measured in several kinds of quantity."""

from __future__ import annotations

from bisect import bisect_left
from fractions import Fraction

from reconcile.limits.context import Context, Spot
from reconcile.limits.implied import hinted_kind
from reconcile.limits.likeness import ratio_of
from reconcile.limits.meaning import Meaning
from reconcile.limits.sense import is_plausible
from reconcile.limits.senses import Choice
from reconcile.limits.subjects import subject_choices
from reconcile.limits.terms import subject_kinds, usual_units
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense
from reconcile.notation.tokens import SIGN
from reconcile.notation.wordsets import word_set

AS_WELL = "no unit: it may be"
UNNAMED_PRESSURE = "nothing is named, and the unit may be a pressure's"
_JOINED = 1.75
"""Barrier up to which the items of a list hang together."""


def doubt_kind(ctx: Context, k: int, meaning: Meaning, meanings: list[Meaning | None]) -> None:
    """Say so where a bare number could as well be another quantity of the same subject.

    "Oil 70" may be a pressure or a temperature; "oil pressure 70" may not, nor may the 45
    of "oil 80 lb, 45 minimum".
    """
    if not meaning.subject:
        return
    if _follows_its_like(ctx, k, meaning, meanings):
        return
    if hinted_kind(ctx, k, subject_choices(ctx, k)) == meaning.sense.kind:
        return
    if (like := _like_in_another(ctx, k, meaning, meanings)) is not None:
        meaning.draft.supposed.append(f"no unit: figures of like size are of {like}")
        return
    other = _other_kind(ctx, meaning)
    if other:
        meaning.draft.supposed.append(f"{AS_WELL} {other} as well")


def _like_in_another(
    ctx: Context, k: int, meaning: Meaning, meanings: list[Meaning | None]
) -> str | None:
    """What a figure of like size before is of, where no words beside the number name its own."""
    choices = subject_choices(ctx, k)
    if any(
        distance < _NAMED and meaning.sense.kind in subject_kinds().get(subject, {})
        for distance, subject in choices[:1]
    ):
        return None
    for other in meanings[max(0, k - 6) : k]:
        if other is None or other.sense.kind == meaning.sense.kind:
            continue
        if other.sense.kind not in _MEASURED or not is_plausible(
            meaning.draft.value, other.sense.unit, other.parameter
        ):
            continue
        if ratio_of(meaning.draft.value, other.draft.value) <= _LIKE:
            return other.parameter or other.sense.kind
    return None


_NAMED, _LIKE = 0.6, 1.7
_MEASURED = frozenset({
    "altitude", "distance", "power", "mass", "rotational_speed", "speed", "volume", "pressure",
    "temperature",
})  # fmt: skip


def _follows_its_like(
    ctx: Context, k: int, meaning: Meaning, meanings: list[Meaning | None]
) -> bool:
    draft = meaning.draft
    starts = ctx.starts.get("subject", [])
    for m in range(k - 1, max(-1, k - 9), -1):
        other = meanings[m]
        if other is None or other.parameter != meaning.parameter:
            continue
        between = bisect_left(starts, draft.i) - bisect_left(starts, other.draft.j)
        if between:
            return False
        t = ctx.t
        ends = draft.j >= t.n or t.kind[draft.j] == SIGN
        return not (t.norm[other.draft.j : draft.i] in _ANDS and ends)
    return False


def doubt_mass(ctx: Context, k: int, meaning: Meaning, meanings: list[Meaning | None]) -> None:
    """Say so where "lb." beside a figure may as well be a mass as a pressure, or the reverse.

    "Oil 120 lb., fuel 1,440 lb." is a load; of "tyres 52 lb. at 11,200 lb., 58 lb. at 12,400"
    the third figure goes with the first.
    """
    draft, sense = meaning.draft, meaning.sense
    if draft.supposed or not {"mass", "pressure"} <= {s.kind for s in draft.senses}:
        return
    if sense.kind == "pressure":
        if "mass" not in subject_kinds().get(meaning.subject, {}) or _pressed(ctx, draft):
            return
        if _beside_mass(ctx, k, meanings):
            draft.supposed.append("beside masses: it may be one as well")
    elif sense.kind == "mass" and _pressed(ctx, draft):
        draft.supposed.append("a pressure is spoken of beside it: it may be one as well")
    elif sense.kind == "mass" and not _loaded(ctx, draft):
        for other in meanings[max(0, k - 3) : k]:
            if other is None or other.sense.kind != "pressure" or not _same_unit(ctx, draft, other):
                continue
            if _alike(draft.value, other.draft.value) and ctx.barrier(other.draft.j, draft.i) < 5.5:
                draft.supposed.append("of the size of a pressure before it: it may be one as well")
                return


def _same_unit(ctx: Context, draft: Draft, other: Meaning) -> bool:
    norm, first = ctx.t.norm, other.draft
    return (
        norm[draft.unit_at] == norm[first.unit_at] if draft.unit_at > 0 < first.unit_at else False
    )


def _alike(a: Fraction | None, b: Fraction | None) -> bool:
    return bool(a and b) and a is not None and b is not None and Fraction(1, 2) <= a / b <= 2


def _spoken_near(ctx: Context, draft: Draft, role: str, value: str, far: int) -> bool:
    starts = ctx.starts.get(role)
    if not starts:
        return False
    at = bisect_left(starts, draft.i)
    spots = ctx.roles[role]
    return any(
        spot.value == value
        and abs(spot.i - draft.i) <= far
        and ctx.barrier(*_between(spot, draft)) < 1
        for spot in spots[max(0, at - 2) : at + 2]
    )


def _between(spot: Spot, draft: Draft) -> tuple[int, int]:
    return (spot.j, draft.i) if spot.j <= draft.i else (draft.j, max(spot.i, draft.j))


def _pressed(ctx: Context, draft: Draft) -> bool:
    """Whether a pressure is spoken of beside a figure."""
    return _spoken_near(ctx, draft, "generic", "pressure", 5)


def pressed_behind(ctx: Context, draft: Draft) -> bool:
    """Whether "of" behind a figure leads to a pressure: "80 lb. of oil pressure", "of boost"."""
    end = min(ctx.t.n - 1, draft.j + 5)
    span = (ctx.t.end[draft.j - 1], ctx.t.end[end])
    if ctx.spots_in("generic", span):
        return True
    kinds = [set(subject_kinds().get(s.value, ())) for s in ctx.spots_in("subject", span)]
    return any("pressure" in found and "mass" not in found for found in kinds)


def _loaded(ctx: Context, draft: Draft) -> bool:
    """Whether a weight is spoken of beside a figure."""
    return _spoken_near(ctx, draft, "subject", "weight", 5)


def _beside_mass(ctx: Context, k: int, meanings: list[Meaning | None]) -> bool:
    """Whether a list that a figure is an item of, or its heading, speaks of masses."""
    draft = ctx.drafts[k]
    for m in (k - 1, k + 1):
        if not 0 <= m < len(ctx.drafts):
            continue
        other = ctx.drafts[m]
        a, b = (other, draft) if m < k else (draft, other)
        if ctx.barrier(a.j, b.i) > _JOINED or other.value is None:
            continue
        known = meanings[m]
        if known is not None and known.sense.kind == "mass":
            return True
        if known is not None and known.sense.kind == "volume" and ctx.t.norm[a.j : b.i] == ["at"]:
            return True  # "85 gallons at 7.2 lb."
        both = {"mass", "pressure"} <= {s.kind for s in other.senses}
        if known is None and both and other.value >= _LOAD:
            return True
    starts = ctx.starts.get("subject", [])
    at = bisect_left(starts, draft.i)
    return any(
        spot.value == "weight" and ctx.barrier(spot.j, draft.i) < _SENTENCE
        for spot in ctx.roles.get("subject", [])[max(0, at - 5) : at]
    )


_LOAD, _SENTENCE = 300, 5.5
"""Pounds that are no pressure of oil or fuel; the barrier that a sentence ends with."""


def doubt_neighbour(ctx: Context, k: int, meaning: Meaning) -> None:
    """Say so where a bare number stands close behind a figure of another kind.

    In "drops 5 lb. for each 10° above 70" the 70 goes with the degrees.
    """
    draft = meaning.draft
    if not k or draft.senses or draft.supposed or draft.sign:
        return
    fine = draft.resolution is not None and draft.resolution < 1
    if meaning.parameter == "tyre pressure" and meaning.sense.unit == "[psi]" and fine:
        draft.supposed.append("it may be the size of the tyre")
        return
    first = ctx.drafts[k - 1]
    near = 0 < draft.i - first.j <= 3 and ctx.barrier(first.j, draft.i) < _CLOSE
    if not near or not first.senses or first.kind in {"", meaning.sense.kind, "time"}:
        return
    if _FROM & set(ctx.t.norm[first.j : draft.i]):
        draft.supposed.append("the figure close before it is in another unit")


_CLOSE = 0.5
_FROM = word_set("words-of-beyond")


def doubt_angle(ctx: Context, meaning: Meaning) -> None:
    """Say so where "flaps 30" may be their angle, and no speed."""
    draft = meaning.draft
    starts = ctx.starts.get("condition")
    if meaning.sense.kind != "speed" or draft.senses or not starts or draft.value is None:
        return
    at = bisect_left(starts, draft.i) - 1
    if at < 0 or draft.value > _STEEPEST or draft.supposed:
        return
    spot = ctx.roles["condition"][at]
    if spot.j == draft.i and spot.value.startswith("flaps"):
        draft.supposed.append("it may be the angle of the flaps as well")


_STEEPEST = 60


_ANDS = tuple(words.split() for words in word_set("words-of-and"))


def _other_kind(ctx: Context, meaning: Meaning) -> str:
    value = meaning.draft.value
    for kind, parameter in subject_kinds().get(meaning.subject, {}).items():
        if kind == meaning.sense.kind or value is None:
            continue
        for usual in usual_units(parameter, ctx.tradition):
            if usual.kind == kind and usual.lo <= value <= usual.hi:
                return parameter
    return ""


def may_be_pressure(draft: Draft, sense: Sense) -> bool:
    """Whether a figure in "lb." or "mm" that was taken for none may be a pressure by its size."""
    if sense.kind == "pressure" or draft.value is None:
        return False
    return any(
        other.kind == "pressure"
        and is_plausible(draft.value, other.unit, _SIZED_AS.get(other.unit, "brake pressure"))
        for other in draft.senses
    )


_SIZED_AS = {"mm[Hg]": "manifold pressure", "[in_i'Hg]": "manifold pressure"}
"""Pressures by whose size a unit's figures are judged, where not by those of brakes."""


_LISTED = 3.2
_OF_LISTS = frozenset({"volume", "volume_flow", "mass_flow", "specific_consumption"})
"""Kinds that one list gives for fuel, oil and coolant in turn: "fuel 145 l; oil 32"."""


def kind_of_list(
    ctx: Context, k: int, choices: list[Choice], meanings: list[Meaning | None]
) -> Meaning | None:
    """The figure before, where both are items of one list: "fuel 96 gallons, oil 7½"."""
    previous = meanings[k - 1] if k else None
    if previous is None or previous.draft.void or not choices or not previous.subject:
        return None
    draft = ctx.drafts[k]
    far = _LISTED if previous.sense.kind in _OF_LISTS else _JOINED
    if previous.draft.sign or draft.sign or ctx.barrier(previous.draft.j, draft.i) > far:
        return None
    starts = ctx.starts.get("subject", [])
    if bisect_left(starts, draft.i) - bisect_left(starts, previous.draft.j) != 1:
        return None
    subject = choices[0][1]
    if subject == previous.subject or choices[0][0] > 1:
        return None
    return previous if previous.sense.kind in subject_kinds().get(subject, {}) else None
