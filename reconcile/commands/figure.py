"""Look at one figure: what it is taken to mean and why, SI, uncertainty, equivalents.

This command starts without the command-line framework (see `reconcile.entry`), so nothing
here may import anything heavy before it is needed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from reconcile.errors import AmbientNeededError, ExitCode, MeasureError, ReferenceFormError
from reconcile.records import Figure, Limit

OPTIONS = {
    "--tradition": "tradition",
    "--parameter": "parameter",
    "--unit": "unit",
    "--reference-form": "reference_form",
    "--datum": "datum",
    "--year": "year",
    "--height": "height",
    "--format": "form",
    "-f": "form",
}
_DEFAULTS: dict[str, Any] = {
    "tradition": "unknown", "parameter": "", "unit": "", "reference_form": "", "datum": "",
    "year": 0, "height": "", "form": "table",
}  # fmt: skip
WIDTH = 80
_LABEL = 12
CAUTION = (
    "Not approved data: the type's approved documents, local rules and licensed engineers decide."
)


def parse_plain(arguments: Sequence[str]) -> dict[str, Any] | None:
    """Options of a call this command can take without the framework.

    Returns
    -------
    options : dict, or None
        None where anything is out of the ordinary (help, an unknown option, a missing
        value): the framework then answers, with its messages.
    """
    options = dict(_DEFAULTS)
    texts: list[str] = []
    rest = iter(arguments)
    for argument in rest:
        name, equals, value = argument.partition("=")
        if name in OPTIONS:
            if not equals:
                value = next(rest, "")
            if not value:
                return None
            options[OPTIONS[name]] = value
        elif argument.startswith("-") and not argument[1:2].isdigit():
            return None
        else:
            texts.append(argument)
    if len(texts) != 1 or options["form"] not in ("table", "csv", "json", "jsonl"):
        return None
    try:
        options["year"] = int(options["year"])
    except ValueError:
        return None
    return {"text": texts[0], **options}


def run(
    *,
    text: str,
    tradition: str,
    parameter: str,
    unit: str,
    reference_form: str,
    datum: str,
    year: int,
    height: str,
    form: str,
) -> int:
    """Print one figure in the form asked for; see the command's help for the options."""
    from reconcile.reading import figure as read_figure
    from reconcile.reading import read_text

    figure = read_figure(
        text,
        tradition=tradition,
        parameter=parameter or None,
        unit=unit or None,
        reference_form=reference_form or None,
        datum=datum or None,
        year=year or None,
    )
    height_m = None
    if height:
        from reconcile.commands.tables import parse_height

        height_m = parse_height(height)
    reading = read_text(text, tradition)
    at = {f.id: f.span for f in reading.figures}
    limit = next(
        (m for m in reading.limits if any(at.get(i) == figure.span for i in m.figure_ids)), None
    )
    if form == "table":
        for line in describe_figure(text, figure, limit, height_m):
            print(line)
    else:
        _write_row(figure, limit, height_m, form)
    return ExitCode.FINDINGS if figure.status in ("ambiguous", "unread") else ExitCode.CLEAN


def _write_row(figure: Figure, limit: Limit | None, height_m: float | None, form: str) -> None:
    from reconcile.commands.output import Form, write_rows
    from reconcile.commands.show import FIGURE_COLUMNS, figure_row

    row = figure_row(figure, limit, None)
    row["parameter"] = figure.parameter or row["parameter"]
    for name, convert in (("absolute_pa", figure.absolute), ("gauge_pa", figure.gauge)):
        row[name] = None
        if figure.kind == "pressure" and figure.quantity.is_read:
            try:
                there = convert(height_m)
            except MeasureError:
                continue
            ends = (there.nominal, there.lo, there.hi)
            row[name] = next((end for end in ends if end is not None), None)
    write_rows([row], Form(form), columns=(*FIGURE_COLUMNS, "absolute_pa", "gauge_pa"))


def _labelled(label: str, texts: Sequence[str]) -> Iterator[str]:
    """Lines with a label in the margin, wrapped to the width."""
    from textwrap import wrap

    for text in texts:
        for line in wrap(text, WIDTH - _LABEL) or [""]:
            yield f"{label:<{_LABEL}}{line}".rstrip()
            label = ""


def describe_figure(
    text: str, figure: Figure, limit: Limit | None, height_m: float | None
) -> Iterator[str]:
    """The answer for a person, line by line, no wider than 80 columns."""
    from reconcile.measure.display import describe

    q = figure.quantity
    yield text if len(text) <= WIDTH else text[: WIDTH - 1] + "…"
    yield "-" * min(len(text), WIDTH)
    yield from _labelled("Figure", [f'"{figure.as_written}", {figure.status}'])
    yield from _labelled("Reads", [describe(q)])
    yield from _labelled("Taken as", [_meaning(figure, limit)])
    yield from _labelled("Because", [*figure.repairs, *_reasons(figure)])
    for candidate in figure.candidates:
        yield from _labelled("Or else", [
            f"{describe(candidate.quantity)} (odds {candidate.odds:.0%}): {candidate.reason}"
        ])  # fmt: skip
    if not q.is_read:
        yield from _labelled("Value", ["none: it cannot be read for sure, so none is given"])
        return
    yield from _values(figure, limit, height_m)
    yield ""
    yield from _labelled("Caution", [CAUTION])


def _meaning(figure: Figure, limit: Limit | None) -> str:
    parameter = figure.parameter or (limit.parameter if limit else None)
    condition = figure.condition or (limit.condition if limit else None)
    parts = [parameter or f"a {figure.kind.replace('_', ' ')}; what it measures is not said"]
    if limit is not None:
        parts.append(
            {
                "max": "a maximum",
                "min": "a minimum",
                "range": "a range",
                "approx": "an approximate value",
            }.get(limit.bound, "a plain value")
        )
    if condition:
        parts.append(condition)
    if limit is not None and limit.time_limit_s is not None:
        parts.append(f"for no longer than {float(limit.time_limit_s):g} s")
    return ", ".join(parts)


def _reasons(figure: Figure) -> list[str]:
    from reconcile.measure.display import definition_effect

    reasons = []
    row = figure.quantity.row
    if figure.unit:
        unit = f"unit: {row.name} ({figure.unit})"
        if row.si_unit != "1":
            exact = row.definition or f"{float(row.factor):.10g} {row.si_unit}"
            unit += f", {exact} [{row.source}]"
        reasons.append(unit)
    if figure.reference_form != "none":
        reasons.append("zero: " + FORM_MEANS[figure.reference_form])
    if figure.qualifiers:
        reasons.append("qualified by: " + ", ".join(figure.qualifiers))
    effect = definition_effect(figure.quantity)
    return [*reasons, effect] if effect else reasons


FORM_MEANS = {
    "absolute": "vacuum (absolute pressure)",
    "gauge": "the air around the instrument (gauge pressure)",
    "fixed_datum": "an agreed sea-level pressure, the same at every height: the instrument "
    "feels absolute pressure and only its numbers are counted from the datum",
    "below_ambient": "the air around, counted downwards",
    "differential": "another pressure in the machine",
    "unknown": "not known; give --reference-form to settle it",
}


def _values(figure: Figure, limit: Limit | None, height_m: float | None) -> Iterator[str]:
    from reconcile.measure.display import budget_lines, equivalents_of, rival_datums

    q = figure.quantity
    yield from _labelled("SI", [_si_text(figure.si)])
    if figure.kind == "pressure" and figure.reference_form != "none":
        for label, convert in (("Absolute", figure.absolute), ("Gauge", figure.gauge)):
            try:
                answer = _si_text(convert(height_m))
            except AmbientNeededError:
                answer = 'needs the air around: give --height "10000 ft" (0 ft for sea level)'
            except ReferenceFormError as fault:
                answer = fault.what
            yield from _labelled(label, [answer])
    others = [e.text for e in equivalents_of(q, height_m)]
    if others:
        yield from _labelled("Today", others[:8])
    yield from _safe_side(figure, limit, height_m)
    if figure.reference_form == "fixed_datum":
        rivals = [
            f"{r.absolute:.0f} Pa absolute by {r.datum.name} ({r.difference:+.1f} Pa)"
            + (", used here" if r.is_own else "")
            for r in rival_datums(q)
        ]
        yield from _labelled("Datums", rivals)
    yield ""
    si = figure.si
    ends = () if si.nominal is not None or None in (si.lo, si.hi) else (si.lo, si.hi)
    yield f"Uncertainty budget of {_si_text(si, places=False)}"
    # The first line would repeat the value without its reference form.
    yield from (f"  {line}" for line in budget_lines(q.budget(), WIDTH - 2, ends=ends)[1:])


def _si_text(si: Any, *, places: bool = True) -> str:
    from reconcile.measure.display import FORM_WORDS

    def number(value: float) -> str:
        return f"{value:.7g}"

    if si.nominal is not None:
        text = number(si.nominal)
        if si.lo is not None and si.hi is not None:
            text += f" ({number(si.lo)} to {number(si.hi)})"
    else:
        text = " to ".join(number(v) for v in (si.lo, si.hi) if v is not None)
    text += f" {si.unit}" if si.unit != "1" else ""
    words = FORM_WORDS[si.reference_form]
    text += f" {words}" if words else ""
    if places and si.half_width is not None:
        text += f"; half the last printed place is {si.half_width:.3g}"
    return text


def _safe_side(figure: Figure, limit: Limit | None, height_m: float | None) -> Iterator[str]:
    """The limit on dials of today, rounded to the safe side."""
    from reconcile.measure.display import FORM_WORDS
    from reconcile.measure.rounding import round_limit
    from reconcile.measure.units import equivalents

    if limit is None or limit.bound not in ("max", "min", "range"):
        return
    row = figure.quantity.row
    texts = []
    forms = [figure.reference_form]
    if figure.reference_form == "fixed_datum":
        forms.insert(0, "absolute")  # gauges of today that serve for boost count from vacuum
    for form, unit in [(f, u) for f in forms for u in equivalents(row.si_unit, f)[:4]]:
        step = _dial_step(figure, unit)
        try:
            safe = round_limit(
                figure.quantity, limit.bound, unit.slug, step, form=form, height_m=height_m
            )
        except MeasureError as fault:
            texts.append(f"{unit.symbol}: {fault.what}")
            continue
        said = " ".join(part for part in (str(safe), FORM_WORDS[safe.form]) if part)
        texts.append(said + _exact_beside(safe))
    yield from _labelled("Safe side", texts)


def _exact_beside(safe: Any) -> str:
    """The numbers before rounding, where rounding moved them."""
    pairs = [
        (exact, rounded)
        for exact, rounded in (
            (safe.exact_nominal, safe.nominal),
            (safe.exact_lo, safe.lo),
            (safe.exact_hi, safe.hi),
        )
        if exact is not None and rounded is not None
    ]
    if all(exact == rounded for exact, rounded in pairs):
        return ""
    return f" (from {' to '.join(f'{float(exact):.7g}' for exact, _ in pairs)})"


_FINENESS = 5
"""The safe side may cost at most this part of the printed last place. Common practice, no
source."""
_PLACES = 1000
"""Parts of the value that stand in for the last place where none is known."""


def _dial_step(figure: Figure, unit: Any) -> Any:
    """The coarsest decimal step that is no more than a fifth of the printed last place.

    A step chosen by the size of the value alone would throw away up to ten printed places.
    """
    from fractions import Fraction

    from reconcile.measure.rounding import decimal_step

    half = figure.quantity.exact_half_width()
    if half and unit.scale == "linear":
        return decimal_step(2 * half / abs(unit.factor) / _FINENESS)
    si = figure.si
    size = max(abs(v) for v in (si.nominal, si.lo, si.hi) if v is not None)
    there = Fraction(size) / abs(Fraction(unit.factor))
    return decimal_step(there / _PLACES) if there else Fraction(1)
