"""The limit table as the pages for people lay it out: entries, readings, apparatus, findings.

Rows that state the same limit stand in one entry, the copy-text's first and its witnesses
under it, each with its own standing. Nothing here knows HTML or typst.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Any

from reconcile.dials.markings import condition_words
from reconcile.errors import MeasureError
from reconcile.publish.page_values import (
    Equivalent,
    agree_within_rounding,
    amount,
    lines_of_equivalents,
    meaning,
    odds_words,
    si_line,
    si_symbol,
    time_words,
    written_value,
)
from reconcile.publish.rows import STANDINGS, LimitTable, Row, Standing
from reconcile.records import STATUSES, Finding, Source

SIGN = {"verified": "●", "unverified": "○", "in doubt": "◐", "contradicted": "×", "rejected": "–"}
STANDING_SAYS = {
    "verified": "proved by an independent check, or accepted by a person's ruling",
    "unverified": "plainly read, but nothing could prove it",
    "in doubt": "can be read in more than one way, or a check doubts it",
    "contradicted": "another reading or an independent check says otherwise",
    "rejected": "set aside by a person's ruling",
}
# A standing that needs looking at outranks one that does not.
_WORST = ("contradicted", "in doubt", "unverified", "rejected", "verified")
TITLE_WORDS = {
    "max": "maximum",
    "min": "minimum",
    "range": "range",
    "nominal": "set value",
    "approx": "approximate value",
}
NO_PARAMETER = "Figures whose parameter the text does not name"


def anchor(prefix: str, text: str) -> str:
    """An id for a link, safe in HTML and in an address."""
    return f"{prefix}-{re.sub(r'[^A-Za-z0-9_-]+', '-', text)}"


def siglum(index: int) -> str:
    """Short name of a witness, as editors give them: A, B, … Z, A1, B1, …"""
    turn, letter = divmod(index, 26)
    return ascii_uppercase[letter] + (str(turn) if turn else "")


@dataclass(frozen=True, slots=True)
class Reading:
    """One row as it stands in its entry."""

    row: Row
    siglum: str
    anchor: str
    place: str
    value: str
    si: str
    standing_class: str
    candidates: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FindingView:
    """One finding with its number, as ``reconcile explain`` counts it."""

    number: int
    finding: Finding
    emendations: tuple[str, ...]
    anchors: tuple[tuple[str, str], ...]
    """(anchor, words) of the entries it concerns."""

    @property
    def verdict_class(self) -> str:
        """Style class of the verdict."""
        return "v-" + self.finding.verdict.replace(" ", "-")

    @property
    def bad(self) -> bool:
        """Whether it contradicts or doubts."""
        return self.finding.verdict in ("contradicts", "in doubt")


@dataclass(frozen=True, slots=True)
class Entry:
    """One limit with all that is known of it."""

    anchor: str
    title: str
    parameter: str
    standing: Standing
    standing_class: str
    readings: tuple[Reading, ...]
    meaning: str
    equivalents: tuple[Equivalent, ...]
    budget: tuple[dict[str, Any], ...]
    budget_total: str
    findings: tuple[FindingView, ...]
    witnesses: tuple[str, ...]

    @property
    def lead(self) -> Reading:
        """The reading that programs would take."""
        return self.readings[0]

    @property
    def varies(self) -> bool:
        """Whether the witnesses read differently, by more than rounding."""
        lead = self.lead.row.figure.quantity
        return any(not agree_within_rounding(lead, r.row.figure.quantity) for r in self.readings)


@dataclass(frozen=True, slots=True)
class Variant:
    """One place of the apparatus: the lemma with its witnesses, then each variant."""

    entry: Entry
    lemma: str
    lemma_sigla: tuple[str, ...]
    variants: tuple[tuple[str, tuple[str, ...], str], ...]
    """(reading, sigla, standing)."""


@dataclass(frozen=True, slots=True)
class PageModel:
    """Everything the templates set."""

    table: LimitTable
    sigla: dict[str, str]
    """By source id."""
    verified: tuple[tuple[str, tuple[Entry, ...]], ...]
    """(parameter, entries)."""
    unverified: tuple[tuple[str, tuple[Entry, ...]], ...]
    findings: tuple[FindingView, ...]
    apparatus: tuple[Variant, ...]
    standings: tuple[tuple[Standing, int, str, str], ...]
    """(standing, number of rows, sign, what it says)."""
    statuses: tuple[tuple[str, int], ...]
    figures: int

    @property
    def entries(self) -> tuple[Entry, ...]:
        """All entries, in the page's order."""
        return tuple(e for part in (self.verified, self.unverified) for _, es in part for e in es)

    @property
    def bad(self) -> tuple[FindingView, ...]:
        """Findings that contradict or doubt."""
        return tuple(f for f in self.findings if f.bad)

    @property
    def parameters(self) -> tuple[str, ...]:
        """Parameters met, sorted."""
        return tuple(sorted({e.parameter for e in self.entries}))

    def source_of(self, mark: str) -> Source:
        """The source that a siglum stands for."""
        return next(s for s in self.table.sources if self.sigla[s.id] == mark)


def style_class(standing: str) -> str:
    """Style class of a standing."""
    return "s-" + standing.replace(" ", "-")


def place_words(row: Row) -> str:
    """Where a figure stands, in words a reader can follow without the machine."""
    place = row.figure.place
    if place.time_s is not None:
        minutes, seconds = divmod(int(place.time_s), 60)
        where = f"at {minutes}:{seconds:02d}"
    else:
        where = f"page {place.page}, line {place.line}" if place.line else f"page {place.page}"
    cell = [" / ".join(path) for path in (place.row, place.column) if path]
    if cell:
        where += ", in the table under " + " and ".join(f"“{c}”" for c in cell)
    if place.how not in ("", "typed", "text layer"):
        where += f" (read as {place.how}"
        where += f", confidence {place.confidence:.0%})" if place.confidence is not None else ")"
    return where


def make_model(table: LimitTable) -> PageModel:
    """Lay a limit table out for people."""
    sigla = {source.id: siglum(i) for i, source in enumerate(table.sources)}
    groups: dict[str, list[Row]] = {}
    for row in table.rows:
        groups.setdefault(row.group, []).append(row)
    anchors = {row.id: anchor("r", row.id) for row in table.rows}
    entry_anchor: dict[str, tuple[str, str]] = {}
    for rows in groups.values():
        first = _lead_first(rows)[0]
        for row in rows:
            for target in (row.limit_id, row.figure.id):
                entry_anchor.setdefault(target, (anchors[first.id], _title(first, full=True)))
    findings = tuple(_finding_view(f, n, entry_anchor) for n, f in enumerate(table.findings, 1))
    by_target: dict[str, list[FindingView]] = {}
    for view in findings:
        for target in dict.fromkeys((*view.finding.limit_ids, *view.finding.figure_ids)):
            by_target.setdefault(target, []).append(view)
    entries = [_entry(rows, sigla, anchors, by_target) for rows in groups.values()]
    counts = table.count()
    figures = {row.figure.id: row.figure for row in table.rows}
    statuses = Counter(figure.status for figure in figures.values())
    return PageModel(
        table=table,
        sigla=sigla,
        verified=_by_parameter([e for e in entries if e.standing == "verified"]),
        unverified=_by_parameter([e for e in entries if e.standing != "verified"]),
        findings=findings,
        apparatus=tuple(_variant(e) for e in entries if e.varies),
        standings=tuple((s, counts[s], SIGN[s], STANDING_SAYS[s]) for s in STANDINGS),
        statuses=tuple((s, statuses[s]) for s in STATUSES),
        figures=len(figures),
    )


def _lead_first(rows: list[Row]) -> list[Row]:
    return sorted(rows, key=lambda row: not row.lead)


def _by_parameter(entries: list[Entry]) -> tuple[tuple[str, tuple[Entry, ...]], ...]:
    found: dict[str, list[Entry]] = {}
    for entry in entries:
        found.setdefault(entry.parameter, []).append(entry)
    names = sorted(found, key=lambda name: (name == NO_PARAMETER, name))
    return tuple((name, tuple(found[name])) for name in names)


def _title(row: Row, *, full: bool = False) -> str:
    parts = [condition_words(row), TITLE_WORDS[row.bound]]
    if time := time_words(row):
        parts.append(time)
    if full:
        parts.insert(0, row.parameter or "figure")
    text = ", ".join(parts)
    return text[:1].upper() + text[1:]


def _entry(
    rows: list[Row],
    sigla: dict[str, str],
    anchors: dict[str, str],
    by_target: dict[str, list[FindingView]],
) -> Entry:
    rows = _lead_first(rows)
    lead = rows[0]
    leads = [row for row in rows if row.lead] or [lead]
    standing: Standing = min((r.standing for r in leads), key=_WORST.index)
    views: dict[int, FindingView] = {}
    for row in rows:
        for target in (row.limit_id, row.figure.id):
            views.update((v.number, v) for v in by_target.get(target, ()))
    ordered = sorted(views.values(), key=lambda v: (not v.bad, v.number))
    budget, total = _budget(lead)
    return Entry(
        anchor=anchors[lead.id],
        title=_title(lead),
        parameter=lead.parameter or NO_PARAMETER,
        standing=standing,
        standing_class=style_class(standing),
        readings=tuple(_reading(row, sigla, anchors) for row in rows),
        meaning=meaning(lead),
        equivalents=lines_of_equivalents(lead),
        budget=budget,
        budget_total=total,
        findings=tuple(ordered),
        witnesses=tuple(dict.fromkeys(sigla[row.source.id] for row in rows)),
    )


def _reading(row: Row, sigla: dict[str, str], anchors: dict[str, str]) -> Reading:
    return Reading(
        row=row,
        siglum=sigla[row.source.id],
        anchor=anchors[row.id],
        place=place_words(row),
        value=written_value(row.figure.quantity),
        si=si_line(row),
        standing_class=style_class(row.standing),
        candidates=tuple(
            f"{written_value(c.quantity)} ({odds_words(c.odds)}): {c.reason}"
            for c in row.figure.candidates
        ),
    )


def _budget(row: Row) -> tuple[tuple[dict[str, Any], ...], str]:
    """Lines of the uncertainty budget and its total, in the form other programs take."""
    q = row.figure.quantity
    if not q.is_read:
        return (), "The figure was not read, so nothing is known of its uncertainty."
    form = "absolute" if q.form == "fixed_datum" else q.form
    try:
        budget = q.budget(form if q.row.si_unit == "Pa" and form != q.form else None)
    except MeasureError as fault:
        return (), fault.sentence
    lines = tuple(
        {
            "name": line["name"],
            "label": line["label"],
            "u": "not known"
            if line["u"] is None
            else f"{amount(line['u'])} {si_symbol(line['unit'])}",
            "distribution": line["distribution"],
            "share": "" if line["share"] is None else f"{line['share']:.0%}",
        }
        for line in budget.rows()
    )
    u = budget.standard_uncertainty
    if u is None:
        return lines, "Nothing is known of the uncertainty of the number itself."
    unit = si_symbol(budget.unit)
    as_what = ", as absolute pressure" if form != q.form else ""
    if q.nominal is None and q.lo is not None and q.hi is not None:
        as_what += ", at each end"
    return lines, (
        f"Standard uncertainty{as_what}: {amount(u)} {unit}; expanded, k = 2: "
        f"{amount(2 * u)} {unit}." + ("" if budget.is_complete else " Part of it is not known.")
    )


def _finding_view(
    finding: Finding, number: int, entry_anchor: dict[str, tuple[str, str]]
) -> FindingView:
    emendations = tuple(
        f"{written_value(e.proposed.quantity) if e.proposed else 'both may stand'}"
        f" — {e.cause.replace('_', ' ')}, {odds_words(e.odds)}"
        + (f": {e.reason}" if e.reason else "")
        for e in finding.emendations
    )
    targets = dict.fromkeys(
        entry_anchor[t] for t in (*finding.limit_ids, *finding.figure_ids) if t in entry_anchor
    )
    return FindingView(number, finding, emendations, tuple(targets))


def _variant(entry: Entry) -> Variant:
    """Collate the entry's readings by what they say, not by unit or spelling."""
    found: dict[str, list[Reading]] = {}
    for reading in entry.readings:
        for value, holders in found.items():
            known = holders[0].row.figure.quantity
            if agree_within_rounding(known, reading.row.figure.quantity):
                found[value].append(reading)
                break
        else:
            found[reading.value] = [*found.get(reading.value, ()), reading]
    (lemma, holders), *others = found.items()
    return Variant(
        entry,
        lemma,
        tuple(dict.fromkeys(r.siglum for r in holders)),
        tuple(
            (value, tuple(dict.fromkeys(r.siglum for r in rs)), rs[0].row.standing)
            for value, rs in others
        ),
    )
