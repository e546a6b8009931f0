"""Two figures set against each other: verdict, and what most likely happened.

>>> from reconcile import compare, figure
>>> compare(figure("+6 lb/sq.in. boost"), figure("42.1 in.Hg")).verdict
'agrees'
>>> finding = compare(figure("85 Imperial gallons"), figure("18.7 litres"))
>>> finding.verdict, finding.emendations[0].cause
('contradicts', 'conversion_inverted')
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING

from reconcile.checks.context import Context, read_context
from reconcile.checks.rounding import handy_half, judge, last_place_half
from reconcile.checks.show import show_difference, show_value
from reconcile.checks.sides import Side, ambient_at, side_of, side_of_quantity
from reconcile.checks.weigh import Explanation, cause_rows, explain, subject_named
from reconcile.measure.units import unit_row
from reconcile.records import Emendation, Figure, Finding, Verdict
from reconcile.reference import load_rows

if TYPE_CHECKING:
    from reconcile.measure.quantity import Quantity

_FORMLESS = ("unknown", "none", "differential")
_LITERAL = re.compile(r"[-+−–]?\s*\d+(?:,\d{3})*(?:\.\d+)?|[-+−–]?\s*\.\d+")
_CONTINENTAL = re.compile(r"[UT]/|[a-z]/mn|Umdr|tr/min|giri|tours|\bob\b|[а-я]|回転", re.IGNORECASE)
_SQUARE = re.compile(r"sq|/|p\.?s\.?i|cm|in|□|at", re.IGNORECASE)
_BARE = {"[psi]": "[lb_av]", "kgf/cm2": "kg"}
"""Pressures that are written with the bare name of a mass."""
_LEAST_ODDS = 1e-4


def compare(figure_a: Figure, figure_b: Figure, *, context: str = "") -> Finding:
    """Whether two figures can be one value, and if not, why not.

    Rounding comes first: could one true value have been printed as both? Then every known
    fault that would make the two agree is weighed, with "both may stand" among the answers.

    Parameters
    ----------
    figure_a, figure_b : Figure
        The two, as read. Values are compared in SI, pressures brought to absolute: gauge
        readings at sea level (or at the height the context names), boost by its datum.
    context : str
        Plain words about the pair: "amendment list 3 raised it", "typed copy".

    Returns
    -------
    finding : Finding
        `verdict`, `evidence`, and `emendations` ranked by posterior probability, one a
        cause, each with the figure to adopt, or None where both may stand.

    Notes
    -----
    *agrees*: within half the last printed place of the coarser figure. *agrees within
    rounding*: within the sum of the half-steps both may have been rounded to (see
    `reconcile.checks.rounding`). *contradicts*: otherwise. Ranges are judged end by end
    and the worse verdict holds. *cannot tell*: kinds differ or a figure is unread. *in
    doubt*: ambiguous readings part ways, or a number stands against a range.
    """
    return compare_in(figure_a, figure_b, read_context(context), parameter=subject_named(context))


def compare_in(
    figure_a: Figure,
    figure_b: Figure,
    context: Context,
    *,
    parameter: str | None = None,
    twins: bool | None = None,
    copy: int | None = None,
    rivals: bool = False,
    letter: bool = False,
) -> Finding:
    """As `compare`, with the context already weighed and what else is known of the pair.

    `rivals`: list the same cause on either figure, for whoever can weigh further evidence.
    `letter`: a copy against its model, where even a difference within rounding is doubtful.
    """
    ids = (figure_a.id, figure_b.id)
    figure_a, figure_b = _of_one_kind(figure_a, figure_b)
    parameter = figure_a.parameter or figure_b.parameter or parameter
    ambient = ambient_at(context.height_m)
    if reason := _not_comparable(figure_a, figure_b):
        return Finding("compare", "cannot tell", reason, figure_ids=ids)
    form_a, form_b = _common_forms(figure_a, figure_b, parameter)
    natural = _natural_forms().get(parameter or "", "")
    if _supposed_gauge(figure_a, form_a) or _supposed_gauge(figure_b, form_b):
        if natural != "gauge":
            parameter = None  # supposed for want of words; no intake pressure is a gauge one
        natural = "gauge"
    a = side_of(figure_a, ambient=ambient, form=form_a)
    b = side_of(figure_b, ambient=ambient, form=form_b)
    if a is None or b is None:
        which = figure_a if a is None else figure_b
        return _unread(figure_a, figure_b, f"{which.as_written!r} was not read to one number")
    a, b = _words_of(figure_a, a), _words_of(figure_b, b)
    verdict = judge(a, b)
    if literal := _as_printed(figure_a, figure_b, a, b, verdict):
        a, b, verdict = literal
    if letter and a.scale == b.scale and a.ends != b.ends and verdict.startswith("agrees"):
        verdict = "in doubt"
    twins = a.unit != b.unit if twins is None else twins
    slug = "twins" if twins else "witnesses"
    evidence, steps = _say(figure_a, a, figure_b, b, verdict)
    emendations: tuple[Emendation, ...] = ()
    if verdict in ("contradicts", "in doubt"):
        ranked = explain(
            a,
            b,
            twins=twins,
            context=context,
            parameter=parameter,
            natural_form=natural,
            conditions_differ=_differ(figure_a.condition, figure_b.condition),
            copy=copy,
        )
        emendations = _emendations((figure_a, figure_b), ranked, slug, rivals)
    if emendations:
        evidence += f" Most likely: {emendations[0].reason}."
    gap = max((abs(x - y) for x, y in zip(a.si, b.si)), default=Fraction(0))
    spread = math.hypot(*(float(last_place_half(s)) / math.sqrt(3) for s in (a, b)))
    return Finding(
        check=slug,
        verdict=verdict,
        evidence=evidence,
        figure_ids=ids,
        seen=figure_b.as_written,
        expected=figure_a.as_written,
        difference_si=float(gap),
        difference_u=float(gap) / spread if spread else None,
        emendations=emendations,
        steps=steps,
    )


def _differ(one: str | None, other: str | None) -> bool:
    return bool(one and other and one != other)


def _not_comparable(a: Figure, b: Figure) -> str:
    for one in (a, b):
        if one.status == "unread" or not one.kind:
            return f"{one.as_written!r} is unread"
    if a.kind != b.kind and not _same_dimension(a, b):
        return f"{a.as_written!r} is a {a.kind} and {b.as_written!r} a {b.kind}"
    if a.quantity.is_difference != b.quantity.is_difference:
        return "one is a temperature, the other a difference of temperatures"
    return ""


_INTAKE_UNITS = frozenset({"[in_i'Hg]", "mm[Hg]", "cm[Hg]", "att"})
_LEAST_INTAKE = 20000
_MOST_INTAKE = 350000
"""Pa: below and above these an intake pressure is hardly one. Common practice, no source."""


@cache
def _natural_forms() -> dict[str, str]:
    return {
        row["parameter"]: row["form"]
        for row in load_rows("notation/forms")
        if not row["traditions"]
    }


_LENGTHS = frozenset({"altitude", "length"})


def _same_dimension(a: Figure, b: Figure) -> bool:
    """Kinds that readers tell apart by words alone: a height is a length."""
    return {a.kind, b.kind} == _LENGTHS


def _of_one_kind(a: Figure, b: Figure) -> tuple[Figure, Figure]:
    """Bare pounds or kilograms read as a pressure are a mass beside a mass."""
    pair = [a, b]
    for at, (one, other) in enumerate(((a, b), (b, a))):
        mass = _BARE.get(one.unit)
        if other.kind == "mass" and mass and not _SQUARE.search(one.as_written):
            bare = replace(one.quantity, unit=mass, unit_slug="", kind="mass", form="none")
            pair[at] = replace(one, quantity=bare, parameter=other.parameter)
    return pair[0], pair[1]


def _common_forms(a: Figure, b: Figure, parameter: str | None) -> tuple[str, str]:
    """Forms to compare in; only a form that is not known is supplied.

    A pressure without form takes the form natural to what is measured, else the other's.
    """
    forms = [str(a.reference_form), str(b.reference_form)]
    for at, (one, other) in enumerate(((a, b), (b, a))):
        theirs = str(other.reference_form)
        if forms[at] not in _FORMLESS:
            if theirs == "below_ambient" and forms[at] == "absolute" and _is_small(one):
                forms[at] = theirs  # a bare in.Hg beside a suction
            continue
        if forms[at] == "unknown" and theirs not in _FORMLESS:
            natural = _natural_forms().get(parameter or "", "")
            forms[at] = natural if natural not in ("", "absolute") else _form_beside(one, other)
        elif theirs not in _FORMLESS:
            forms[at] = theirs
    return forms[0], forms[1]


def _supposed_gauge(figure: Figure, form: str) -> bool:
    return form == "gauge" and figure.reference_form == "unknown"


def _is_small(figure: Figure) -> bool:
    side = side_of(figure, form="absolute")
    return side is not None and max(side.si) < _LEAST_INTAKE


def _form_beside(one: Figure, other: Figure) -> str:
    """Form of a bare pressure beside an absolute one: boost, unless only absolute fits.

    Beside one that no intake could have, it is taken for gauge, as bare pressures are.
    """
    theirs = str(other.reference_form)
    plain, known = side_of(one, form="absolute"), side_of(other)
    if theirs == "absolute" and known is not None and min(known.si) > _MOST_INTAKE:
        return "gauge"
    if theirs != "absolute" or one.unit != "[psi]" or other.unit not in _INTAKE_UNITS:
        return theirs
    fits = plain is not None and known is not None and judge(plain, known) != "contradicts"
    return "absolute" if fits else "fixed_datum"


def _words_of(figure: Figure, side: Side) -> Side:
    """`side` with the words that qualify the figure, for those who ask what it says."""
    return replace(side, text=" ".join((figure.as_written, *figure.qualifiers)))


def _unread(a: Figure, b: Figure, why: str) -> Finding:
    """No single reading: say whether any candidate would agree."""
    ids = (a.id, b.id)
    found = []
    for one, other in ((a, b), (b, a)):
        settled = side_of(other)
        if settled is None:
            continue
        for candidate in one.candidates:
            side = side_of_quantity(candidate.quantity, text=one.as_written)
            if side and side.kind == settled.kind and judge(side, settled) != "contradicts":
                proposed = _figure_with(one, candidate.quantity, candidate.reason)
                found.append(
                    Emendation("misread_digit", proposed, candidate.odds, candidate.reason)
                )
    if found:
        found.sort(key=lambda e: -e.odds)
        reason = f"{why}; {len(found)} of its candidates would agree"
        return Finding("compare", "in doubt", reason, figure_ids=ids, emendations=tuple(found))
    return Finding("compare", "cannot tell", why, figure_ids=ids)


def _as_printed(
    figure_a: Figure, figure_b: Figure, a: Side, b: Side, verdict: Verdict
) -> tuple[Side, Side, Verdict] | None:
    """The pair as the characters stand, where a repair or a choice hid what they say.

    A reader may have mended "1200C" to 120 °C. That the paper contradicts its twin until
    it is mended is itself a finding; and where the characters as they stand agree, the
    repair was wrong.
    """
    plain_a, plain_b = _literal(figure_a, a), _literal(figure_b, b)
    if plain_a is None and plain_b is None:
        return None
    plain_a, plain_b = plain_a or a, plain_b or b
    plain = judge(plain_a, plain_b)
    if plain == verdict or (plain != "contradicts" and verdict != "contradicts"):
        return None
    return plain_a, plain_b, plain


def _literal(figure: Figure, side: Side) -> Side | None:
    if figure.status not in ("repaired", "ambiguous") or len(side.ends) != 1:
        return None
    found = _LITERAL.match(figure.as_written.strip())
    if not found:
        return None
    digits = re.sub(r"[\s,]", "", found.group()).replace("−", "-").replace("–", "-")
    number = Fraction(digits)
    if number == side.ends[0]:
        return None
    if number * 1000 == side.ends[0] and _CONTINENTAL.search(figure.as_written):
        return None  # "2.800 U/min" says 2800 as it stands
    decimals = len(digits.partition(".")[2])
    return side.renumbered((number,), Fraction(1, 10**decimals))


def _emendations(
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
    reason = one.reason
    if len(rivals) > 1 and rivals[1].odds > 0.2 * one.odds and rivals[1].side is not None:
        reason += f" (or {rivals[1].reason})"
    if one.faulty is None or one.side is None:
        return Emendation(one.cause, None, odds, reason)
    proposed = figure_reading(figures[one.faulty], one.side, one.reason)
    title = cause_rows()[one.cause]["title"]
    return Emendation(one.cause, proposed, odds, f"{title}: {reason}", (slug,))


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
    return _figure_with(figure, mended, reason)


def _form_changed(figure: Figure, side: Side) -> bool:
    # A change or a difference keeps having no form; an unknown one is now supposed.
    return side.form != figure.reference_form and figure.reference_form not in _FORMLESS[1:]


def _figure_with(figure: Figure, quantity: Quantity, reason: str) -> Figure:
    return replace(
        figure,
        quantity=quantity,
        status="repaired",
        candidates=(),
        repairs=(*figure.repairs, reason),
    )


def _say(
    figure_a: Figure, a: Side, figure_b: Figure, b: Side, verdict: Verdict
) -> tuple[str, tuple[str, ...]]:
    """The evidence in a sentence, and the steps to it."""
    worst = max(range(min(len(a.ends), len(b.ends))), key=lambda i: abs(a.si[i] - b.si[i]))
    gap = abs(a.si[worst] - b.si[worst])
    half = max(last_place_half(a), last_place_half(b))
    halves = [handy_half(side.ends[worst], side) for side in (a, b)]
    said = [
        f"{figure.as_written} is {' to '.join(show_value(v, side) for v in side.si)}"
        for figure, side in ((figure_a, a), (figure_b, b))
    ]
    allowed = half if verdict == "agrees" else sum(halves, Fraction(0))
    evidence = (
        f"{said[0]} and {said[1]}: {show_difference(gap, a)} apart where the roundings allow "
        f"{show_difference(allowed, a)}."
    )
    steps = (
        *(
            f"{line}; last place {show_difference(2 * last_place_half(side), side)}, handy step "
            f"{show_difference(2 * handy, side)}"
            for line, side, handy in zip(said, (a, b), halves)
        ),
        f"difference {show_difference(gap, a)}; half the coarser last place "
        f"{show_difference(half, a)}; half steps together {show_difference(sum(halves), a)}",
        f"verdict: {verdict}",
    )
    return evidence, steps
