"""What else a doubtful figure may be: its readings with their odds.

The odds are a judgement, not a count: how much likelier the reading given out is than the
others is set by what it rests on, in `_TRUST`, and the others share the rest evenly. They
order the work of whoever decides; nothing is computed from them.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import TYPE_CHECKING, NamedTuple

from reconcile.limits.doubts import AS_WELL, UNNAMED_PRESSURE
from reconcile.limits.sense import is_plausible
from reconcile.limits.terms import Usual, subject_kinds, usual_of_all
from reconcile.notation.drafts import Draft

if TYPE_CHECKING:
    from reconcile.limits.meaning import Meaning

Number = Fraction | None


class Option(NamedTuple):
    """One reading of a figure: its numbers in `unit`."""

    nominal: Number
    lo: Number
    hi: Number
    plus_minus: Number
    resolution: Number
    unit: str
    kind: str
    form: str
    reason: str


_TRUST = {"unit": 0.75, "form": 0.0, "degree": 0.6, "mark": 0.7, "scale": 0.7}
"""Odds of the reading given out, by what is in doubt; 0 where it is none of the options."""
_FORMS = ("gauge", "absolute")
_FROM_NOTHING = frozenset({"att", "[in_i'Hg]"})


def find_options(meaning: Meaning) -> list[tuple[Option, float]]:
    """Readings of a doubtful figure with their odds, likeliest first; empty if it has only one.

    Parameters
    ----------
    meaning : Meaning
        What the figure was taken to mean.

    Returns
    -------
    options : list of (Option, float)
        The odds add up to 1.
    """
    draft = meaning.draft
    if draft.void or draft.value is None:
        return []
    own = _option(meaning, draft, "as read")
    doubts = list(_doubts(meaning, draft))
    others = list(dict.fromkeys(option for _, option in doubts if not _same(option, own)))
    if not others:
        return []
    trust = min(_TRUST[kind] for kind, _ in doubts)
    if not trust:
        share = 1.0 / len(others)
        return [(option, share) for option in others]
    share = (1.0 - trust) / len(others)
    return [(own, trust), *((option, share) for option in others)]


def _same(a: Option, b: Option) -> bool:
    return a._replace(reason="") == b._replace(reason="")


def _option(meaning: Meaning, draft: Draft, reason: str) -> Option:
    sense = meaning.sense
    return Option(
        draft.nominal, draft.lo, draft.hi, draft.plus_minus, draft.resolution,
        sense.unit, sense.kind, meaning.form, reason,
    )  # fmt: skip


def _doubts(meaning: Meaning, draft: Draft) -> Iterator[tuple[str, Option]]:
    own = _option(meaning, draft, "as read")
    parameter, kind = meaning.parameter, meaning.sense.kind
    if kind == "pressure" and meaning.form == "unknown":
        for form in _FORMS:
            yield "form", own._replace(form=form, reason=f"read as a pressure that is {form}")
    elif meaning.sense.unit == "atm" and not meaning.sense.form and kind == "pressure":
        for form in _FORMS:
            yield "scale", own._replace(form=form, reason=f"atm for an atmosphere {form}")
    if draft.other is not None:
        nominal, lo, hi, step = draft.other
        swapped = nominal if nominal is not None else hi
        if is_plausible(swapped, meaning.sense.unit, parameter):
            yield "mark", own._replace(
                nominal=nominal, lo=lo, hi=hi, resolution=step,
                reason="thousands and decimal mark the other way about",
            )  # fmt: skip
    if kind == "temperature" and draft.nominal is not None and draft.nominal.denominator == 1:
        for factor in (Fraction(1, 10), Fraction(10)):
            value = draft.nominal * factor
            whole = _degree(draft) and value.denominator == 1
            if whole and is_plausible(value, meaning.sense.unit, parameter):
                reason = "a last 0 that is" + ("" if factor < 1 else " not") + " a degree mark"
                yield "degree", own._replace(nominal=value, reason=reason)
    for sense in draft.senses:
        if sense.unit == meaning.sense.unit and sense.kind == kind:
            continue
        form = sense.form or ("none" if sense.kind != "pressure" else "unknown")
        fits = sense.kind != kind or is_plausible(draft.value, sense.unit, parameter)
        if fits and (sense.kind == kind or _bare_degree(draft) or _unnamed(draft, sense.kind)):
            yield "scale", own._replace(
                unit=sense.unit, kind=sense.kind, form=form if sense.kind != kind else own.form,
                reason=f"the unit printed taken for {sense.unit}",
            )  # fmt: skip
    if not draft.senses and draft.value is not None:
        size = float(draft.value)
        for usual in usual_of_all(parameter):
            if usual.unit != meaning.sense.unit and usual.lo <= size <= usual.hi:
                yield "unit", own._replace(
                    unit=usual.unit, kind=usual.kind, form=_form_in(own.form, usual),
                    reason=f"{usual.unit} supposed",
                )  # fmt: skip
        yield from _other_kinds(meaning, own, size)


def _other_kinds(meaning: Meaning, own: Option, size: float) -> Iterator[tuple[str, Option]]:
    """What else of its subject a number without a unit may be: oil has pressures and heats."""
    if not any(AS_WELL in doubt for doubt in meaning.draft.supposed):
        return
    for kind, parameter in subject_kinds().get(meaning.subject, {}).items():
        if kind == own.kind or not any(parameter in doubt for doubt in meaning.draft.supposed):
            continue
        for usual in usual_of_all(parameter):
            if usual.lo <= size <= usual.hi:
                form = "gauge" if usual.kind == "pressure" else "none"
                yield "unit", own._replace(
                    unit=usual.unit, kind=usual.kind, form=form,
                    reason=f"taken for {parameter}, in {usual.unit}",
                )  # fmt: skip


def _unnamed(draft: Draft, kind: str) -> bool:
    """Whether "lb." was taken for a mass though nothing names one, and may be a pressure."""
    return kind == "pressure" and any(doubt == UNNAMED_PRESSURE for doubt in draft.supposed)


def _form_in(form: str, usual: Usual) -> str:
    """Form of the figure in that unit: boost in atmospheres or inches is counted from nothing."""
    if usual.kind != "pressure":
        return "none"
    return "absolute" if form == "fixed_datum" and usual.unit in _FROM_NOTHING else form


def _degree(draft: Draft) -> bool:
    return any("degree mark" in note and "last 0" in note for note in draft.notes)


def _bare_degree(draft: Draft) -> bool:
    return {"temperature", "angle"} <= {sense.kind for sense in draft.senses}
