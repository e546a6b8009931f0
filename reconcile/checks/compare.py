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

from reconcile.checks.context import Context, read_context
from reconcile.checks.forms import (
    common_forms,
    natural_forms,
    not_comparable,
    of_one_kind,
    quantity_of,
    settled,
    supposed_gauge,
)
from reconcile.checks.proposals import emendations_of, figure_with, likeliest
from reconcile.checks.rounding import handy_half, judge, judge_prints, last_place_half
from reconcile.checks.show import end_sentence, show_difference, tell, with_form
from reconcile.checks.sides import Side, ambient_at, side_of, side_of_quantity
from reconcile.checks.weigh import exact_only, explain, subject_named
from reconcile.checks.words import words
from reconcile.records import Emendation, Figure, Finding, Verdict

_LITERAL = re.compile(r"[-+−–]?\s*\d+(?:,\d{3})*(?:\.\d+)?|[-+−–]?\s*\.\d+")
_MORE_NUMBER = re.compile(r"^[OoIlSBZGQD|]|[\d½¼¾⅓⅔⅛⅜⅝⅞]")
_UNIT_POWER = re.compile(r"(?:cm|in|m|ft)\s*[23]\b")


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
    finding = compare_in(
        figure_a, figure_b, read_context(context), parameter=subject_named(context)
    )
    return replace(finding, evidence=finding.evidence + _apart(figure_a, figure_b))


def _apart(a: Figure, b: Figure) -> str:
    """A warning where the two are known to limit different things."""
    parts = []
    if a.parameter and b.parameter and quantity_of(a.parameter) != quantity_of(b.parameter):
        parts.append(f"one is of {a.parameter}, the other of {b.parameter}")
    if _differ(a.condition, b.condition):
        parts.append(f"one is for {a.condition}, the other for {b.condition}")
    return f" But {' and '.join(parts)}: these are two limits." if parts else ""


def compare_in(
    figure_a: Figure,
    figure_b: Figure,
    context: Context,
    *,
    parameter: str | None = None,
    twins: bool | None = None,
    copy: int | None = None,
    rivals: bool = False,
    held: bool = False,
) -> Finding:
    """As `compare`, with the context already weighed and what else is known of the pair.

    `rivals`: list the same cause on either figure, for whoever can weigh further evidence.
    `held`: two prints of one limit, held to the print where they are in one unit.
    """
    ids = (figure_a.id, figure_b.id)
    figure_a, figure_b = of_one_kind(figure_a, figure_b)
    figure_a, figure_b, settling = settled(figure_a, figure_b)
    parameter = figure_a.parameter or figure_b.parameter or parameter
    ambient = ambient_at(context.height_m)
    if reason := not_comparable(figure_a, figure_b):
        return Finding("compare", "cannot tell", reason, figure_ids=ids)
    form_a, form_b = common_forms(figure_a, figure_b, parameter)
    natural = natural_forms().get(parameter or "", "")
    if supposed_gauge(figure_a, form_a) or supposed_gauge(figure_b, form_b):
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
    if held and verdict.startswith("agrees"):
        verdict = judge_prints(a, b, copied=copy is not None)
    twins = a.unit != b.unit if twins is None else twins
    slug = "twins" if twins else "witnesses"
    near = held and a.scale == b.scale and judge(a, b).startswith("agrees")
    evidence, steps = _say(figure_a, a, figure_b, b, verdict, to_the_print=near)
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
        if held and a.scale == b.scale:
            ranked = exact_only(ranked, a, b)
        emendations = emendations_of((figure_a, figure_b), ranked, slug, rivals)
    if settling:
        steps = (settling, *steps)
    evidence += likeliest(emendations)
    gap = max((abs(x - y) for x, y in zip(a.si, b.si)), default=Fraction(0))
    spread = math.hypot(*(float(last_place_half(s)) / math.sqrt(3) for s in (a, b)))
    return Finding(
        check=slug,
        verdict=verdict,
        evidence=evidence,
        figure_ids=ids,
        seen=with_form(figure_b.as_written, b),
        expected=with_form(figure_a.as_written, a),
        difference_si=float(gap),
        difference_u=float(gap) / spread if spread else None,
        emendations=emendations,
        steps=steps,
    )


def _differ(one: str | None, other: str | None) -> bool:
    return bool(one and other and one != other)


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
                proposed = figure_with(one, candidate.quantity, candidate.reason)
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
    if plain_a and plain_b and verdict != "contradicts":
        return None  # two repairs that bear each other out
    plain_a, plain_b = plain_a or a, plain_b or b
    plain = judge(plain_a, plain_b)
    if plain != "contradicts" and verdict != "contradicts":
        return None
    # Where neither reading agrees, the search for what was meant starts from the letters.
    return plain_a, plain_b, plain


def _literal(figure: Figure, side: Side) -> Side | None:
    """The number as its characters stand, where the reader took it for another."""
    if figure.status not in ("repaired", "ambiguous") or len(side.ends) != 1:
        return None
    written = figure.as_written.strip()
    found = _LITERAL.match(written)
    # A letter for a digit, a fraction or a second number: the digits alone say nothing.
    if not found or _MORE_NUMBER.search(_UNIT_POWER.sub("", written[found.end() :])):
        return None
    digits = re.sub(r"[\s,]", "", found.group()).replace("−", "-").replace("–", "-")
    number = Fraction(digits)
    if number == side.ends[0]:
        return None
    if number * 1000 == side.ends[0] and words("continental").search(figure.as_written):
        return None  # "2.800 U/min" says 2800 as it stands
    decimals = len(digits.partition(".")[2])
    return side.renumbered((number,), Fraction(1, 10**decimals))


def _say(
    figure_a: Figure,
    a: Side,
    figure_b: Figure,
    b: Side,
    verdict: Verdict,
    *,
    to_the_print: bool = False,
) -> tuple[str, tuple[str, ...]]:
    """The evidence in a sentence, and the steps to it."""
    worst = max(range(min(len(a.ends), len(b.ends))), key=lambda i: abs(a.si[i] - b.si[i]))
    gap = abs(a.si[worst] - b.si[worst])
    half = max(last_place_half(a), last_place_half(b))
    halves = [handy_half(side.ends[worst], side) for side in (a, b)]
    pairs = ((figure_a, a), (figure_b, b))
    # In the printed unit and form where both have it; vacuum is the zero of unlike forms only.
    printed = a.scale == b.scale and a.unit == b.unit
    absolute = a.form != b.form
    said = [
        tell(figure.as_written, side, printed=printed, absolute=absolute) for figure, side in pairs
    ]
    apart, coarser, together, *steps = (
        show_difference(si, side, printed=printed)
        for si, side in (
            (gap, a),
            (half, a),
            (sum(halves, Fraction(0)), a),
            *((2 * si, s) for s, h in zip((a, b), halves) for si in (last_place_half(s), h)),
        )
    )
    allowed = coarser if verdict == "agrees" else together
    evidence = f"{said[0]} and {said[1]}: {apart} apart "
    if to_the_print and a.ends != b.ends:
        evidence += "in one unit, where no conversion was rounded"
    else:
        evidence += f"where the roundings allow {allowed}"
    return end_sentence(evidence), (
        f"{said[0]}; last place {steps[0]}, rounding step {steps[1]}",
        f"{said[1]}; last place {steps[2]}, rounding step {steps[3]}",
        f"difference {apart}; half the coarser last place {coarser}; "
        f"half steps together {together}",
        f"verdict: {verdict}",
    )
