"""Records as flat rows, for the commands that answer with figures, limits and findings."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any

from reconcile.measure.display import describe
from reconcile.measure.quantity import Quantity
from reconcile.records import Emendation, Figure, Finding, Limit, Source

FIGURE_COLUMNS = (
    "id",
    "source",
    "page",
    "line",
    "time_s",
    "as_written",
    "nominal",
    "lo",
    "hi",
    "plus_minus",
    "unit",
    "kind",
    "reference_form",
    "resolution",
    "si_nominal",
    "si_lo",
    "si_hi",
    "si_half_width",
    "si_unit",
    "status",
    "repairs",
    "candidates",
    "parameter",
    "condition",
    "bound",
    "time_limit_s",
    "time_unlimited",
)
FIGURE_SHOWN = ("place", "as_written", "reads", "parameter", "condition", "bound", "status")
FINDING_COLUMNS = (
    "number",
    "check",
    "verdict",
    "evidence",
    "seen",
    "expected",
    "difference_si",
    "difference_u",
    "limit_ids",
    "figure_ids",
    "emendations",
)
FINDING_SHOWN = ("number", "check", "verdict", "evidence", "proposed")


def number(value: Fraction | None) -> str | None:
    """An exact number as decimal text where it ends, else as a fraction."""
    if value is None:
        return None
    rest = value.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    if rest != 1:
        return str(value)
    if value.denominator == 1:
        return str(value.numerator)
    from decimal import Context, Decimal

    context = Context(prec=60)
    quotient = context.divide(Decimal(value.numerator), Decimal(value.denominator))
    return f"{quotient:f}"


def reads(figure: Figure) -> str:
    """The figure's value as a person would say it, with unit and reference form."""
    return reads_quantity(figure.quantity)


def reads_quantity(quantity: Quantity) -> str:
    """`reads` for a bare quantity, as candidates carry it."""
    if not quantity.is_read:
        return "cannot be read"
    if quantity.unit or quantity.unit_slug:
        return describe(quantity)
    bare = replace(quantity, unit="1", kind="ratio", form="none")
    return f"{bare}, unit not known"


def place(figure: Figure, source: Source | None) -> str:
    """Where a figure stands, in short."""
    name = source.name if source else ""
    if figure.place.time_s is not None:
        minutes, seconds = divmod(int(figure.place.time_s), 60)
        at = f"[{minutes}:{seconds:02d}]"
    else:
        at = f"p. {figure.place.page}, l. {figure.place.line}"
    return f"{name} {at}".strip()


def figure_row(figure: Figure, limit: Limit | None, source: Source | None) -> dict[str, Any]:
    """One figure with what it limits as a flat row (see FIGURE_COLUMNS)."""
    row: dict[str, Any] = {
        "id": figure.id,
        "source": source.name if source else None,
        "page": figure.place.page,
        "line": figure.place.line,
        "time_s": figure.place.time_s,
        "as_written": figure.as_written,
        "nominal": number(figure.nominal),
        "lo": number(figure.lo),
        "hi": number(figure.hi),
        "plus_minus": number(figure.plus_minus),
        "unit": figure.unit,
        "kind": figure.kind,
        "reference_form": figure.reference_form,
        "resolution": number(figure.resolution),
        "si_nominal": None,
        "si_lo": None,
        "si_hi": None,
        "si_half_width": None,
        "si_unit": None,
        "status": figure.status,
        "repairs": list(figure.repairs),
        "candidates": [
            {"reads": reads_quantity(c.quantity), "odds": round(c.odds, 4), "reason": c.reason}
            for c in figure.candidates
        ],
        "parameter": limit.parameter if limit else None,
        "condition": limit.condition if limit else None,
        "bound": limit.bound if limit else None,
        "time_limit_s": number(limit.time_limit_s) if limit else None,
        "time_unlimited": limit.time_unlimited if limit else False,
        "place": place(figure, source),
        "reads": reads(figure),
    }
    if row["reads"] != "cannot be read":
        si = figure.si
        row.update(
            si_nominal=si.nominal,
            si_lo=si.lo,
            si_hi=si.hi,
            si_half_width=si.half_width,
            si_unit=si.unit,
        )
    return row


def proposal(emendation: Emendation, evidence: str = "") -> str:
    """What an emendation proposes, in words.

    The cause is named where `evidence`, which stands beside it, does not name it already.
    """
    what = f"read {reads(emendation.proposed)}" if emendation.proposed else "both may stand"
    said = emendation.reason or emendation.cause.replace("_", " ")
    cause = "" if said in evidence else f"{said}, "
    return f"{what} ({cause}odds {emendation.odds:.0%})"


def finding_row(finding: Finding, ordinal: int) -> dict[str, Any]:
    """One finding as a flat row (see FINDING_COLUMNS)."""
    emendations: list[dict[str, Any]] = [
        {
            "cause": e.cause,
            "proposed": reads(e.proposed) if e.proposed else None,
            "odds": round(e.odds, 4),
            "reason": e.reason,
        }
        for e in finding.emendations
    ]
    proposed = proposal(finding.emendations[0], finding.evidence) if emendations else ""
    return {
        "number": ordinal,
        "check": finding.check,
        "verdict": finding.verdict,
        "evidence": finding.evidence,
        "seen": finding.seen,
        "expected": finding.expected,
        "difference_si": finding.difference_si,
        "difference_u": finding.difference_u,
        "limit_ids": list(finding.limit_ids),
        "figure_ids": list(finding.figure_ids),
        "emendations": emendations,
        "proposed": proposed,
    }
