"""The tables that go with the limits: sources, findings, emendations, rulings, apparatus.

Flat rows of plain values, the same in every format that holds them.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

from reconcile.errors import MeasureError
from reconcile.measure.display import describe
from reconcile.publish.columns import number_15, printable
from reconcile.publish.page_values import agree_within_rounding
from reconcile.publish.rows import STANDINGS, LimitTable, Row
from reconcile.records import VERDICTS, Figure

if TYPE_CHECKING:
    from reconcile.measure.quantity import Quantity

Cells = dict[str, Any]


class Field(NamedTuple):
    """One column of a side table."""

    name: str
    type: str
    description: str
    required: bool = False
    enum: tuple[str, ...] = ()
    unit: str = ""


class SideTable(NamedTuple):
    """A side table's name, what it holds, its fields and its key."""

    name: str
    title: str
    fields: tuple[Field, ...]
    key: tuple[str, ...]
    foreign: tuple[tuple[str, str, str], ...] = ()
    """(own column, table, its column) of each foreign key."""


SOURCES = SideTable(
    "sources",
    "The sources, each with the digest of its bytes",
    (
        Field("source_id", "string", "Identity of the source.", True),
        Field("name", "string", "File name.", True),
        Field("sha256", "string", "SHA-256 of the file's bytes.", True),
        Field("medium", "string", "What kind of file it is.", True),
        Field("title", "string", "Title of the paper."),
        Field("edition", "string", "Edition or amendment state."),
        Field("date", "string", "Date of the paper."),
        Field("tradition", "string", "Whose notation it is.", True),
        Field("role", "string", "What it is to the dossier.", True),
        Field("of", "string", "Source it copies or re-issues."),
    ),
    ("source_id",),
)
FINDINGS = SideTable(
    "findings",
    "What the checks saw",
    (
        Field("number", "integer", "Number of the finding, from 1.", True),
        Field("check", "string", "Check that made it.", True),
        Field("verdict", "string", "What it comes to.", True, VERDICTS),
        Field("evidence", "string", "The evidence in one sentence."),
        Field("limit_ids", "string", "Limits concerned, blank-separated."),
        Field("figure_ids", "string", "Figures concerned, blank-separated."),
        Field("seen", "string", "What the paper says."),
        Field("expected", "string", "What the check expected."),
        Field("difference_si", "number", "Difference in SI, in the figures' SI unit."),
        Field(
            "difference_u",
            "number",
            "Difference in units of its standard uncertainty.",
            unit="1",
        ),
        Field("steps", "string", "The reasoning, a line a step."),
    ),
    ("number",),
)
EMENDATIONS = SideTable(
    "emendations",
    "Readings that would explain a finding; none is applied without a ruling",
    (
        Field("finding", "integer", "Number of the finding.", True),
        Field("rank", "integer", "1 is the likeliest.", True),
        Field("cause", "string", "What may have gone wrong.", True),
        Field("proposed", "string", "Reading to adopt; blank where both may stand."),
        Field("odds", "number", "Probability among the explanations considered.", True, unit="1"),
        Field("reason", "string", "Why."),
        Field("agrees_with", "string", "Checks it would satisfy, blank-separated."),
    ),
    ("finding", "rank"),
    (("finding", "findings", "number"),),
)
RULINGS = SideTable(
    "rulings",
    "What a person decided",
    (
        Field("number", "integer", "Number of the ruling, from 1.", True),
        Field("who", "string", "Who ruled.", True),
        Field("when", "string", "When, as recorded.", True),
        Field("target", "string", "Id of the figure or limit ruled on.", True),
        Field("decision", "string", "accept, emend, reject or leave open.", True),
        Field("reading", "string", "Reading adopted, where emended."),
        Field("reason", "string", "Why."),
        Field("digest", "string", "Digest that chains the rulings."),
    ),
    ("number",),
)
APPARATUS = SideTable(
    "apparatus",
    "Places where more than one witness states a limit, with the readings of each",
    (
        Field("group", "string", "Rows that state the same limit.", True),
        Field("rank", "integer", "1 is the lemma, the reading of the copy-text.", True),
        Field("row_id", "string", "Row of the limit table, in either part.", True),
        Field("source_id", "string", "Witness.", True),
        Field("as_written", "string", "Its reading."),
        Field("reads", "string", "What that comes to."),
        Field(
            "variant",
            "boolean",
            "True where it differs from the lemma by more than their roundings.",
            True,
        ),
        Field("standing", "string", "Standing of the row.", True, STANDINGS),
        Field("parameter", "string", "What is limited."),
        Field("condition", "string", "When."),
    ),
    ("group", "rank"),
    (("source_id", "sources", "source_id"),),
)


def reads(figure: Figure) -> str:
    """A figure's value as a person would say it, with unit and reference form."""
    return describe(figure.quantity)


def _clean(cells: Cells) -> Cells:
    return {k: printable(v) if isinstance(v, str) else v for k, v in cells.items()}


def source_rows(table: LimitTable) -> list[Cells]:
    """Rows of the sources' table."""
    rows = []
    for source in table.sources:
        cells: Cells = {f.name: getattr(source, f.name, None) for f in SOURCES.fields}
        rows.append(_clean({**cells, "source_id": source.id}))
    return rows


def finding_rows(table: LimitTable) -> tuple[list[Cells], list[Cells]]:
    """Rows of the findings' and of the emendations' table."""
    findings, emendations = [], []
    for number, finding in enumerate(table.findings, 1):
        findings.append(
            _clean(
                {
                    "number": number,
                    "check": finding.check,
                    "verdict": finding.verdict,
                    "evidence": finding.evidence,
                    "limit_ids": " ".join(finding.limit_ids),
                    "figure_ids": " ".join(finding.figure_ids),
                    "seen": finding.seen,
                    "expected": finding.expected,
                    "difference_si": number_15(finding.difference_si),
                    "difference_u": number_15(finding.difference_u),
                    "steps": "\n".join(finding.steps),
                }
            )
        )
        for rank, emendation in enumerate(finding.emendations, 1):
            proposed = emendation.proposed
            emendations.append(
                _clean(
                    {
                        "finding": number,
                        "rank": rank,
                        "cause": emendation.cause,
                        "proposed": None if proposed is None else reads(proposed),
                        "odds": number_15(emendation.odds),
                        "reason": emendation.reason,
                        "agrees_with": " ".join(emendation.agrees_with),
                    }
                )
            )
    return findings, emendations


def ruling_rows(table: LimitTable) -> list[Cells]:
    """Rows of the rulings' table."""
    return [
        _clean({f.name: getattr(ruling, f.name) for f in RULINGS.fields})
        for ruling in table.rulings
    ]


def apparatus_rows(table: LimitTable) -> list[Cells]:
    """Rows of the apparatus: groups stated by more than one source, the lemma first."""
    groups: dict[str, list[Row]] = {}
    for row in table.rows:
        groups.setdefault(row.group, []).append(row)
    out = []
    for group, rows in groups.items():
        if len({row.source.id for row in rows}) < 2:
            continue
        rows = sorted(rows, key=lambda r: not r.lead)
        lemmas = [row.figure.quantity for row in rows if row.lead]
        for rank, row in enumerate(rows, 1):
            out.append(
                _clean(
                    {
                        "group": group,
                        "rank": rank,
                        "row_id": row.id,
                        "source_id": row.source.id,
                        "as_written": row.figure.as_written,
                        "reads": reads(row.figure),
                        "variant": not any(_agree(row.figure.quantity, lemma) for lemma in lemmas),
                        "standing": row.standing,
                        "parameter": row.parameter,
                        "condition": row.condition,
                    }
                )
            )
    return out


def _agree(a: Quantity, b: Quantity) -> bool:
    """Whether one true value could print as both, boost and manifold pressure held together."""
    if {a.form, b.form} == {"absolute", "fixed_datum"}:
        try:
            a, b = a.to(a.unit, "absolute"), b.to(b.unit, "absolute")
        except MeasureError:
            return False
    return agree_within_rounding(a, b)
