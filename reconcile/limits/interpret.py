"""Gives every draft its meaning: unit's sense, parameter, condition, bound, time, form."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from fractions import Fraction

from reconcile.limits import bare, implied, repeats
from reconcile.limits.bounds import FLOWN, find_bound, stated_bound
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
from reconcile.limits.scope import note_about, note_as_noted, share_conditions
from reconcile.limits.sense import is_plausible, si_of
from reconcile.limits.settle import settle_number
from reconcile.limits.subjects import (
    UNNAMED,
    choose_sense,
    named,
    named_beside,
    subject_choices,
    with_port,
)
from reconcile.limits.terms import changed_name, reference_form
from reconcile.limits.times import is_time_flown, is_time_to_height, leads_to_limit, name_time
from reconcile.limits.twins import join_brackets
from reconcile.notation.drafts import Draft
from reconcile.notation.grid import Grid, GridCell
from reconcile.notation.lexicon import Sense
from reconcile.notation.tokens import WORD
from reconcile.notation.wordsets import word_set
from reconcile.records import Span

_NOTHING = Sense("1", "other", "", frozenset(), "after", 1)
"""What an illegible figure measures where nothing tells: it is kept all the same."""
TIME_SCALE = {"s": Fraction(1), "min": Fraction(60), "h": Fraction(3600), "d": Fraction(86400)}


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
    _share_times(ctx, meanings)
    note_as_noted(ctx, meanings)
    _share_with_twins(meanings)
    for meaning in meanings:
        other = None if meaning is None else ctx.memo.get(("note of", id(meaning)))
        if meaning is not None and other is not None:
            meaning.time_limit = meaning.time_limit or other.time_limit
            if meaning.bound != other.bound == "max" and not meaning.draft.bounded:
                meaning.bound = "max"  # what a note says of a limit is a limit
    _carry_maxima(ctx, meanings)
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
    role = _change_role(ctx, k)
    if role and draft.kind != "time":
        changed = changed_name(meaning.parameter, role)
        if not changed and role == "change" and kind == "pressure" and meaning.parameter:
            changed = f"{meaning.parameter} change"
        if not changed and role == "step" and kind == "altitude":
            changed = "altitude interval"
        if changed and (role == "change" or _follows_change(meanings, k, ctx)):
            meaning.parameter = changed
            _forget_size(meaning)
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


def _change_role(ctx: Context, k: int) -> str:
    draft = ctx.drafts[k]
    place = ctx.cell_of[k]
    if place is not None and "change-noun" in ctx.roles:
        for span in (*place[1].column[-1:], *place[1].row[-1:]):
            first, _ = ctx.token_range(span)
            if any(s.i == first for s in ctx.spots_in("change-noun", span)):
                return "change"  # "Fall on change of gear, not over ..... 12 lb./sq. in."
    starts = ctx.starts.get("step")
    t = ctx.t
    if starts:
        here = bisect_left(starts, draft.i)
        if here:
            spot = ctx.roles["step"][here - 1]
            if spot.j == draft.i or (spot.j == draft.i - 1 and t.norm[spot.j] in {"additional"}):
                return "step"
    if t.norm[draft.i - 1] in _BY and (_changes_before(ctx, draft) or _changes_as_well(ctx, k)):
        return "change"
    starts = ctx.starts.get("change")
    if starts:
        here = bisect_left(starts, draft.i)
        if here:
            spot = ctx.roles["change"][here - 1]
            words = t.norm[spot.j : draft.i]
            if (
                len(words) <= 3
                and not _REACHES & set(words)
                and ctx.barrier(spot.j, draft.i) < 0.9
                and not ctx.drafts_between(spot.j, draft.i)
            ):
                return "change"
    return ""


_BY = word_set("words-of-by")


def _changes_before(ctx: Context, draft: Draft) -> bool:
    """Whether a fall or rise is named before "by" and a figure: "Падение давления на 1"."""
    starts = ctx.starts.get("change-noun")
    if not starts:
        return False
    at = bisect_left(starts, draft.i) - 1
    if at < 0:
        return False
    spot = ctx.roles["change-noun"][at]
    return (
        draft.i - spot.j <= 6
        and ctx.barrier(spot.j, draft.i) < 1.3
        and not ctx.drafts_between(spot.j, draft.i)
    )


def _changes_as_well(ctx: Context, k: int) -> bool:
    """Whether a change goes before in the clause: "to fall by 10 lb. and the speed by 50"."""
    if not k or ctx.cell_of[k - 1] is not None:
        return False
    first, norm = ctx.drafts[k - 1], ctx.t.norm
    by = first.i and _BY & set(norm[max(0, first.i - 2) : first.i])
    return bool(by) and ctx.barrier(first.j, ctx.drafts[k].i) < 2.0


def _forget_size(meaning: Meaning) -> None:
    """What is hardly possible as a speed may well be a change of one."""
    notes = meaning.draft.notes
    if any(note.startswith("hardly possible") for note in notes):
        meaning.draft.notes = [n for n in notes if not n.startswith("hardly possible")]
        meaning.status = "read"


_REACHES = word_set("reached-by-falling")
"""Words after which a fall is said to reach a value, not to be one."""


def _follows_change(meanings: list[Meaning | None], k: int, ctx: Context) -> bool:
    for back in (1, 2):
        if k - back >= 0:
            other = meanings[k - back]
            if other is not None and ctx.barrier(other.draft.j, ctx.drafts[k].i) < 3:
                return True
    return True


def _share_times(ctx: Context, meanings: list[Meaning | None]) -> None:
    """Give a rating's figures the time the rating may be used."""
    nearest: dict[int, int] = {}
    for k, meaning in enumerate(meanings):
        if meaning is None or meaning.parameter != "time limit" or meaning.draft.nominal is None:
            continue
        scale = TIME_SCALE.get(meaning.sense.unit)
        if scale is None:
            continue
        seconds = meaning.draft.nominal * scale
        place = ctx.cell_of[k]
        behind = meanings[k + 1] if place is None and leads_to_limit(ctx, k) else None
        if behind is not None:
            behind.time_limit = seconds  # "for 5 minutes 45 lb./sq. in."
            meaning.condition = behind.condition
            continue
        home = note_about(ctx, meaning.draft.start)
        in_label = place is None and home is None and _row_label(ctx, k)
        if place is not None:
            i, j = ctx.token_range(place[0].span)
            at: Sequence[int] = ctx.drafts_between(i, j)
        elif in_label:
            at = _under_heading(ctx, meaning.draft.start)
        else:
            at = range(max(0, k - 8), min(len(meanings), k + 9))
        for m in at:
            other = meanings[m]
            if other is None or other is meaning or other.sense.kind in _UNTIMED:
                continue
            if other.parameter in _MOMENTARY:
                continue
            if place is not None or in_label:
                if not _same_line(ctx, place, ctx.cell_of[m], meaning):
                    continue
                if place is not None and other.condition != meaning.condition:
                    continue
            else:
                a, b = (m, k) if m < k else (k, m)
                far = ctx.barrier(ctx.drafts[a].j, ctx.drafts[b].i)
                if home != note_about(ctx, other.draft.start):
                    continue  # a note's time is of what is in the note
                if m > k and _closed(ctx, meanings, k, m):
                    continue
                if any(x is not None and x.bound == "min" for x in meanings[m + 1 : k]):
                    continue  # "1,000 r.p.m., never less than 800 for longer than 2 mins."
                heads = m > k and not meaning.condition and far <= 1.7 and _opens(ctx, k)
                if far >= 5 or (
                    other.condition != meaning.condition
                    and (m > k or far > 1.7)
                    and not heads
                ):
                    continue
                if (
                    other.condition
                    and other.condition != meaning.condition
                    and any(
                        x is not None and x.condition == meaning.condition
                        for x in meanings[m + 1 : k]
                    )
                ):
                    continue  # the time is that of a figure between
            apart = abs(m - k) + (len(meanings) if other.condition != meaning.condition else 0)
            if m in nearest and nearest[m] <= apart:
                continue
            nearest[m] = apart
            other.time_limit = seconds
            if other.bound == "nominal" and other.twin is None and not other.draft.bounded:
                other.bound = "max"


def _opens(ctx: Context, k: int) -> bool:
    """Whether a sentence begins with a time: "For five minutes only, 3,000 r.p.m. ..."."""
    i = ctx.drafts[k].i
    return i > 0 and ctx.t.norm[i - 1] == "for" and (
        i == 1 or ctx.sentence[i - 2] != ctx.sentence[i] or ctx.t.norm[i - 2] in ".;:"
    )


def _closed(ctx: Context, meanings: list[Meaning | None], k: int, m: int) -> bool:
    """Whether a time closes a sentence about another figure: it is not of the next one's."""
    time, later = ctx.drafts[k], ctx.drafts[m]
    if ctx.sentence[time.i] == ctx.sentence[later.i] or not k:
        return False
    said = meanings[k - 1]
    if said is None or said.sense.kind in _UNTIMED or said.bound == "min":
        return False
    return ctx.sentence[time.i] == ctx.sentence[said.draft.i]


def _share_with_twins(meanings: list[Meaning | None]) -> None:
    """A figure in a second unit is bounded as the one it repeats."""
    for meaning in meanings:
        if meaning is not None and meaning.twin is not None and meaning.bound == "nominal":
            meaning.bound = meaning.twin.bound if meaning.twin.bound == "max" else "nominal"


_MOMENTARY = word_set("momentary-subjects")
"""What is watched, and not held for a time."""
_UNTIMED = frozenset({"time", "altitude", "distance", "mass", "volume"})
_UNCARRIED = _UNTIMED - {"mass"}


def _same_line(
    ctx: Context,
    place: tuple[Grid, GridCell] | None,
    there: tuple[Grid, GridCell] | None,
    meaning: Meaning,
) -> bool:
    """Whether a figure in a table stands in the row or column that a time is given for."""
    if there is None:
        return False
    if place is None:
        at = meaning.draft.start
        return any(a <= at < b for a, b in (*there[1].row, *there[1].column))
    if there[0] is not place[0]:
        return False
    cell = place[1]
    across = any(
        s.value == "time limit" for span in cell.row for s in ctx.spots_in("subject", span)
    ) or (
        # the columns are ratings, and the rows are not: "Time  3 mins.  1 hr."
        any(ctx.spots_in("condition", span) for span in cell.column)
        and not any(ctx.spots_in("condition", span) for span in cell.row)
    )
    return there[1].at[1 if across else 0] == place[1].at[1 if across else 0]


def _row_label(ctx: Context, k: int) -> bool:
    start = ctx.drafts[k].start
    last = bisect_right(ctx.grid_starts, start)
    return any(start < grid.span[1] for grid in ctx.grids[max(0, last - 4) : last])


def _under_heading(ctx: Context, at: int) -> list[int]:
    """Drafts in the cells that a heading holding character `at` is over or beside."""
    under: dict[Span, list[int]] | None = ctx.memo.get(("under headings",))
    if under is None:
        under = {}
        for m, place in enumerate(ctx.cell_of):
            if place is not None:
                for span in dict.fromkeys((*place[1].row, *place[1].column)):
                    under.setdefault(span, []).append(m)
        ctx.memo["under headings",] = under
        ctx.memo["headings",] = sorted(under)
    spans: list[Span] = ctx.memo["headings",]
    here = bisect_right(spans, (at, len(ctx.t.text) + 1))
    holding = [span for span in spans[max(0, here - 8) : here] if at < span[1]]
    return sorted({m for span in holding for m in under[span]})


def _carry_maxima(ctx: Context, meanings: list[Meaning | None]) -> None:
    """A maximum said once holds for the list it opens: "limited to 270; in emergency 290"."""
    previous: Meaning | None = None
    for meaning in meanings:
        if meaning is None or meaning.sense.kind in _UNCARRIED:
            continue
        if (
            previous is not None
            and meaning.bound == "nominal"
            and previous.bound == "max"
            and previous.draft.bounded
            and not meaning.draft.bounded
            and meaning.parameter == previous.parameter
            and meaning.twin is None
            and meaning.draft.plus_minus is None
            and meaning.condition not in _USUAL_STATES
            and not (meaning.parameter == "airspeed" and meaning.condition in FLOWN)
            and meaning.parameter != "stalling speed"
            and ctx.barrier(previous.draft.j, meaning.draft.i) < 5.5
        ):
            meaning.bound = "max"
            meaning.draft.bounded = True
        previous = meaning


_USUAL_STATES = word_set("unremarked-states") | {""}
_TWINNED = tuple(words.split() for words in word_set("between-twins"))

__all__ = ["Meaning", "interpret", "is_plausible", "si_of", "stated_bound"]
