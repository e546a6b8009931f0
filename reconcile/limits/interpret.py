"""Gives every draft its meaning: unit's sense, parameter, condition, bound, time, form."""

from __future__ import annotations

from bisect import bisect_left

from reconcile.limits import bare, implied, repeats
from reconcile.limits.bounds import find_bound, stated_bound
from reconcile.limits.carried import carry_maxima, share_times, share_with_twins
from reconcile.limits.changes import change_role, follows_change, forget_size
from reconcile.limits.columns import join_compounds
from reconcile.limits.conditions import find_condition
from reconcile.limits.context import Context
from reconcile.limits.decks import is_multiplier
from reconcile.limits.doubts import UNNAMED_PRESSURE, doubt_mass, may_be_pressure, pressed_behind
from reconcile.limits.forms import form_of
from reconcile.limits.hung import hung_units
from reconcile.limits.labels import give_units_forward
from reconcile.limits.marred import doubt_marred
from reconcile.limits.meaning import Meaning
from reconcile.limits.nofigure import is_distracted
from reconcile.limits.scope import note_as_noted, share_conditions
from reconcile.limits.sense import is_plausible, si_of
from reconcile.limits.senses import UNNAMED, choose_sense, named, named_beside, with_port
from reconcile.limits.settle import settle_number
from reconcile.limits.subjects import subject_choices
from reconcile.limits.terms import changed_name, reference_form
from reconcile.limits.times import is_time_flown, is_time_to_height, name_time
from reconcile.limits.twins import join_brackets
from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import Sense
from reconcile.notation.tokens import WORD
from reconcile.notation.wordsets import word_set

_NOTHING = Sense("1", "other", "", frozenset(), "after", 1)
"""What an illegible figure measures where nothing tells: it is kept all the same."""


def interpret(ctx: Context) -> list[Meaning]:
    """Meanings of all drafts that are figures, in text order."""
    give_units_forward(ctx)
    drafts = ctx.drafts
    meanings: list[Meaning | None] = [None] * len(drafts)
    for k, draft in enumerate(drafts):
        if draft.senses and (draft.void or not (is_distracted(ctx, k) or is_multiplier(ctx, k))):
            meanings[k] = _with_unit(ctx, k, meanings)
    for k, draft in enumerate(drafts):
        if draft.ditto:
            meanings[k] = repeats.with_ditto(ctx, k, meanings)
    if None in meanings:
        for k in range(len(drafts)):
            if meanings[k] is None and not drafts[k].senses and drafts[k].void:
                meanings[k] = bare.void_without_unit(ctx, k) or Meaning(drafts[k], _NOTHING, "", "")
            elif drafts[k].repeats:
                meanings[k] = repeats.repeated(ctx, k, meanings)
            elif meanings[k] is None and not drafts[k].senses:
                meanings[k] = bare.without_unit(ctx, k, meanings)
        join_brackets(ctx, meanings)
    for k, meaning in enumerate(meanings):
        if meaning is not None and meaning.draft.senses and ctx.cell_of[k] is None:
            doubt_mass(ctx, k, meaning, meanings)
    if ctx.grids:
        join_compounds(ctx, meanings)
    doubt_marred(ctx, meanings)
    for k, meaning in enumerate(meanings):
        if meaning is not None:
            _qualify(ctx, k, meaning, meanings)
    share_conditions(ctx, meanings)
    share_times(ctx, meanings)
    note_as_noted(ctx, meanings)
    share_with_twins(meanings)
    for meaning in meanings:
        other = None if meaning is None else ctx.memo.get(("note of", id(meaning)))
        if meaning is not None and other is not None:
            meaning.time_limit = meaning.time_limit or other.time_limit
            if meaning.bound != other.bound == "max" and not meaning.draft.bounded:
                meaning.bound = "max"  # what a note says of a limit is a limit
    carry_maxima(ctx, meanings)
    return [m for m in meanings if m is not None]


def _with_unit(ctx: Context, k: int, meanings: list[Meaning | None]) -> Meaning | None:
    draft = ctx.drafts[k]
    previous = meanings[k - 1] if k else None
    choices = subject_choices(ctx, k)
    draft.senses = hung_units(ctx, k, draft.senses)
    if _unit_runs_on(ctx, draft):
        draft.supposed.append("the unit goes on and could not be read")
    behind = ctx.t.norm[draft.j : draft.j + 2]
    if "of" in behind and behind[0] in {".", "of"} and not pressed_behind(ctx, draft):
        # "60 lb. of alcohol"
        masses = tuple(s for s in draft.senses if s.kind != "pressure")
        if any(s.kind == "mass" for s in masses):
            draft.senses = masses
    if draft.sign == "+" and draft.lo is None:
        # nothing weighs so much more than nothing
        pressures = tuple(s for s in draft.senses if s.kind not in _UNSIGNED)
        draft.senses = pressures or draft.senses
    if draft.sign and ctx.tradition != "american":
        choices = implied.signed_choices(draft, choices)
    choices = implied.implied_choices(ctx, k, choices)
    sense, subject, parameter, distance = choose_sense(ctx, k, draft.senses, choices)
    kinds = {s.kind for s in draft.senses}
    if distance >= UNNAMED and sense.kind == "temperature" and "angle" in kinds:
        draft.supposed.append("degrees of temperature supposed: nothing names an angle")
    if sense.kind == "altitude" and _is_dimension(draft):
        sense, subject, parameter = sense._replace(kind="length"), "", ""
    if distance > _BESIDE and parameter in _OF_FLUIDS and _freezes(draft, sense):
        parameter, subject = "outside air temperature", "outside air"
    if not subject and may_be_pressure(draft, sense):
        draft.supposed.append(UNNAMED_PRESSURE)
    if not subject and sense.kind == "other" and "mass" in kinds:
        draft.supposed.append("nothing names a load factor: it may be a mass in grams")
    if not subject and (strange := named_beside(ctx, k, sense, parameter)):
        draft.supposed.append(f"hardly possible as {strange}, though named as such")
    twin = None
    if previous is not None and _is_twin(ctx, previous.draft, draft):
        twin = implied.twin_sense(draft.senses, previous)
        if twin is not None:
            sense, subject = twin, previous.subject
            parameter = named(previous.parameter, twin, ctx.tradition, draft)
    if (
        parameter == "cabin altitude"
        and previous is not None
        and previous.parameter == parameter
        and ctx.barrier(previous.draft.j, draft.i) < 3
    ):
        parameter = "altitude"  # "8,000 ft. at 30,000 ft."
    meaning = Meaning(draft, sense, subject, parameter)
    if twin is not None:
        meaning.twin = previous
    draft.sense, draft.kind = sense, sense.kind
    settle_number(ctx, meaning)
    return meaning


_UNSIGNED = frozenset({"mass", "volume"})


def _unit_runs_on(ctx: Context, draft: Draft) -> bool:
    """Whether letters are joined to the end of a unit by a sign: "20 A·x", "5 kg*m"."""
    t, j = ctx.t, draft.j
    if j + 1 >= t.n or draft.unit_at < draft.i or t.gap[j] or t.gap[j + 1]:
        return False
    return t.norm[j] in _JOINTS and t.kind[j + 1] == WORD


_JOINTS = frozenset({"·", "*", "×", "^", "/", "\\"})


def _is_dimension(draft: Draft) -> bool:
    """Whether feet are printed with inches, as no height flown is."""
    step = draft.resolution
    return step is not None and step < 1 and step.denominator % 12 == 0 and (draft.value or 0) < 300


_BESIDE = 0.3
_OF_FLUIDS = word_set("fluid-temperatures")


def _freezes(draft: Draft, sense: Sense) -> bool:
    """Whether a temperature is one of frost, which the weather has and no warm engine."""
    value = draft.value
    size = None if value is None else si_of(value, sense.unit)
    return size is not None and size < _FROST


_FROST = 273.0
"""Temperature [K] below which oil and coolant are not spoken of by degrees."""


def _is_twin(ctx: Context, first: Draft, second: Draft) -> bool:
    """Whether `second` repeats `first` in another unit: "14 lb (1 kg)", "42 gph or 252 lb/hr"."""
    if not 0 < second.i - first.j < 3:
        return False
    gap = ctx.t.norm[first.j : second.i]
    return gap in _TWINNED


def _qualify(ctx: Context, k: int, meaning: Meaning, meanings: list[Meaning | None]) -> None:
    draft = meaning.draft
    kind = meaning.sense.kind
    meaning.parameter = with_port(ctx, k, meaning.parameter)
    if meaning.parameter == "airspeed" and (
        _heads_stalling(ctx, k) or _lists_stalling(ctx, k, meanings)
    ):
        meaning.parameter = "stalling speed"
    if meaning.parameter == "stalling speed" and meaning.twin is None and not draft.senses:  # noqa: SIM102
        if find_condition(ctx, k, "airspeed", kind) in _NOT_STALLED:
            meaning.parameter = "airspeed"  # "stall 110 km/h; landing at 140"
    role = change_role(ctx, k)
    if role and draft.kind != "time":
        changed = changed_name(meaning.parameter, role)
        if not changed and role == "change" and kind == "pressure" and meaning.parameter:
            changed = f"{meaning.parameter} change"
        if not changed and role == "step" and kind == "altitude":
            changed = "altitude interval"
        if changed and (role == "change" or follows_change(meanings, k, ctx)):
            meaning.parameter = changed
            forget_size(meaning)
    twin = meaning.twin
    if twin is not None:
        meaning.condition, meaning.bound, meaning.form = twin.condition, twin.bound, twin.form
        if kind == "pressure" and meaning.parameter != twin.parameter:
            meaning.form = reference_form(meaning.parameter, ctx.tradition)
        if meaning.bound == "range" and draft.lo is None:
            meaning.bound = "nominal"
        elif draft.lo is not None:
            meaning.bound = "range"
        if meaning.sense.form:
            meaning.form = meaning.sense.form
        if kind != "pressure":
            meaning.form = "none"
    else:
        meaning.condition = find_condition(ctx, k, meaning.parameter, kind)
        if (
            meaning.parameter in ("starter rest time", "starter operating time")
            and meaning.condition
            and meaning.condition not in _STARTER_STATES
        ):
            # "wait thirty ... take-off, five minutes": the starter is no longer spoken of
            meaning.parameter = "time limit"
        if kind == "time" and meaning.parameter == "duration":
            name_time(ctx, k, meaning)
        elif kind == "time" and meaning.parameter == "time limit" and is_time_to_height(ctx, k):
            meaning.parameter = "duration"
        elif meaning.parameter == "time limit" and is_time_flown(ctx, k, meaning):
            meaning.parameter = "endurance"
        if kind == "pressure":
            meaning.form = form_of(ctx, k, meaning.parameter, meaning.sense.form)
            if meaning.parameter.endswith(" change"):
                meaning.form = "none"
            if meaning.form == "unknown":
                draft.supposed.append("nothing says what the pressure is counted from")
            elif meaning.sense.unit == "atm" and not meaning.sense.form:
                draft.supposed.append("atm may stand for an absolute or a gauge atmosphere")
        meaning.bound = find_bound(ctx, k, meaning.parameter, meaning.condition)
    if draft.void:
        meaning.status = "unread"
    elif meaning.status == "read" and draft.notes:
        meaning.status = "ambiguous" if draft.doubtful else "repaired"
    elif meaning.status == "read" and draft.supposed:
        meaning.status = "ambiguous"


_STARTER_STATES = word_set("starter-states")
_NOT_STALLED = word_set("not-stalled")
"""Conditions under which a bare speed is one flown, though it follows a stalling speed."""


def _heads_stalling(ctx: Context, k: int) -> bool:
    """Whether the table is one of stalling speeds, however its units are headed."""
    place = ctx.cell_of[k]
    if place is None:
        return False
    grid, cell = place
    spans = [*cell.row[:-1], *cell.column]
    if grid.caption is not None:
        spans.append(grid.caption)
    return any(s.value == "stalling" for span in spans for s in ctx.spots_in("subject", span))


def _lists_stalling(ctx: Context, k: int, meanings: list[Meaning | None]) -> bool:
    """Whether a speed goes on a list of stalling speeds: "flaps up 95 m.p.h., flaps down 80".

    Only where nothing but how flaps and wheels stand is said between the two.
    """
    previous = meanings[k - 1] if k else None
    if previous is None or previous.parameter != "stalling speed":
        return False
    i, j = previous.draft.j, ctx.drafts[k].i
    if ctx.barrier(i, j) > _LISTED:
        return False
    starts = ctx.starts.get("condition", [])
    spots = ctx.roles.get("condition", [])[bisect_left(starts, i) : bisect_left(starts, j)]
    bounds = ctx.starts.get("bound", [])
    if bisect_left(bounds, i) < bisect_left(bounds, j):
        return False
    return bool(spots) and all(spot.group == "config" for spot in spots)


_LISTED = 4.5
"""Barriers between two entries of a list: a comma, a semicolon, the end of a line."""


_TWINNED = tuple(words.split() for words in word_set("between-twins"))

__all__ = ["Meaning", "interpret", "is_plausible", "si_of", "stated_bound"]
