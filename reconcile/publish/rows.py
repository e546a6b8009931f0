"""What an issued limit table holds: its columns, its rows, its cautions.

Every format is written from the `LimitTable` built here, so that the same limit has the
same row id, the same numbers and the same standing everywhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from reconcile.checks.copies import is_of_one_print
from reconcile.records import Figure, Finding, Limit, Ruling, Source, Witness

SCHEMA_VERSION = "1.0.0"

Standing = Literal["verified", "unverified", "in doubt", "contradicted", "rejected"]
STANDINGS: tuple[Standing, ...] = (
    "verified",
    "unverified",
    "in doubt",
    "contradicted",
    "rejected",
)

CAUTIONS = (
    "This is not approved data. The type's approved documents, local rules and licensed "
    "engineers decide what may be set, marked or flown.",
    "Figures were read from historical documents and may be wrong, superseded, or meant for "
    "another mark, modification, fuel or instrument.",
    "A row that is not verified has not been proved; its reason says why.",
    "Every pressure is meaningful only with its reference form (absolute, gauge, over the "
    "datum, below ambient, differential).",
)


@dataclass(frozen=True, slots=True)
class Row:
    """One limit's figure as issued. Numbers in the written unit are exact."""

    id: str
    limit_id: str
    group: str
    """Rows of different witnesses that state the same limit share a group."""
    lead: bool
    """The group's row for programs to take: that of the copy-text, else of the first witness."""
    parameter: str | None
    condition: str | None
    bound: str
    time_limit_s: Fraction | None
    time_unlimited: bool
    figure: Figure
    standing: Standing
    reason: str
    checks: tuple[str, ...]
    """Checks that agree."""
    source: Source
    ruling: Ruling | None
    applies_to: tuple[str, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LimitTable:
    """All rows of a dossier with what they rest on."""

    title: str
    rows: tuple[Row, ...]
    sources: tuple[Source, ...]
    findings: tuple[Finding, ...]
    rulings: tuple[Ruling, ...] = ()
    notes: tuple[str, ...] = ()
    """What was met while reading: sources that failed, pages without text, ..."""
    cautions: tuple[str, ...] = CAUTIONS
    schema_version: str = SCHEMA_VERSION

    def count(self) -> dict[str, int]:
        """Number of rows of each standing, all standings named."""
        counts: dict[str, int] = dict.fromkeys(STANDINGS, 0)
        for row in self.rows:
            counts[row.standing] += 1
        return counts


_RANK = {"contradicts": 3, "in doubt": 2}
_LOOSE = frozenset({"products", "engine", "airspeed", "atmosphere"})
"""Checks whose weaker agreement allows more than the roundings."""
_COPIED = "a copy, which proves the reading and not the print"


def _settled(figure: Figure, ruling: Ruling | None) -> Figure:
    """The figure as a ruling leaves it: one that may be another is settled by accepting it."""
    if ruling is None or ruling.decision != "accept" or figure.status != "ambiguous":
        return figure
    if not figure.quantity.is_read:
        return figure
    said = f"ruling {ruling.number}: accepted as read"
    return replace(figure, status="repaired", repairs=(*figure.repairs, said))


def _lack(figure: Figure) -> str:
    """What a number still lacks before it can be proved; blank where nothing."""
    q = figure.quantity
    if not (q.unit or q.unit_slug):
        return "its unit is not known"
    if q.form == "unknown":
        return "it is not known what the pressure is counted from"
    return ""


@dataclass(frozen=True, slots=True)
class _Home:
    """Where each figure stands, to judge what an agreement is worth."""

    source: dict[str, Source]
    unit: dict[str, str]

    def proves(self, finding: Finding) -> bool:
        """Whether a finding speaks for its figures.

        Agreement within rounding does so between witnesses only in two units, where one
        number was converted from the other: 5 and 6 minutes are two limits. A formula that
        is met only within what practice allows proves nothing.
        """
        if finding.verdict != "agrees within rounding":
            return finding.verdict == "agrees"
        if finding.check == "witnesses":
            return len({self.unit.get(fid, "") for fid in finding.figure_ids}) > 1
        return finding.check not in _LOOSE

    def copied(self, finding: Finding) -> bool:
        """Whether a finding sets a copy against its model, or two copies of one print."""
        found = [self.source[fid] for fid in finding.figure_ids if fid in self.source]
        if finding.check != "witnesses" or len(found) != 2:
            return False
        return is_of_one_print(found[0], found[1], list(self.source.values()))


def _agreeing(verdicts: Sequence[Finding], home: _Home) -> tuple[tuple[str, ...], str]:
    """The checks that agree, and in words, saying so where only copies do."""
    proving = [f for f in verdicts if home.proves(f)]
    checks = tuple(sorted({f.check for f in proving}))
    witnesses = [f for f in proving if f.check == "witnesses"]
    only_copies = bool(witnesses) and all(home.copied(f) for f in witnesses)
    said = [f"{c} ({_COPIED})" if c == "witnesses" and only_copies else c for c in checks]
    return checks, ", ".join(said)


def _unproved(verdicts: Sequence[Finding]) -> str:
    """Why a row has nothing that speaks for it: the witness that could not, if there is one."""
    said = "nothing in the sources could check it"
    near = next((f for f in verdicts if f.check == "witnesses" and f.evidence), None)
    return f"{said}: {near.evidence}" if near else said


def _standing(
    figure: Figure,
    verdicts: Sequence[Finding],
    ruling: Ruling | None,
    emended: bool,
    home: _Home,
) -> tuple[Standing, str, tuple[str, ...]]:
    """Standing of a row, why, and the checks that agree."""
    agreeing, said = _agreeing(verdicts, home)
    if ruling is not None and ruling.decision != "leave open":
        why = f"ruling {ruling.number} by {ruling.who}: {ruling.decision}"
        why += f" ({ruling.reason})" if ruling.reason else ""
        if ruling.decision == "reject":
            return "rejected", why, agreeing
        # A ruling verifies a reading; where there is none, it cannot.
        if not figure.quantity.is_read:
            return "in doubt", f"{why}, but no number is read; emend the figure", agreeing
        if ruling.decision == "emend" and not emended:
            return "in doubt", f"{why}, but not of which figure; emend the figure", agreeing
        if figure.status == "ambiguous" and ruling.decision == "emend":
            return "in doubt", f"{why}, which can be read in more than one way", agreeing
        if lack := _lack(figure):
            return "in doubt", f"{why}, but {lack}; emend the figure", agreeing
        return "verified", why, agreeing
    worst = max(verdicts, key=lambda f: _RANK.get(f.verdict, 0), default=None)
    if worst is not None and worst.verdict == "contradicts":
        return "contradicted", worst.evidence, agreeing
    if figure.status == "unread":
        return "in doubt", "the figure could not be read", agreeing
    if figure.status == "ambiguous":
        return "in doubt", "the figure can be read in more than one way", agreeing
    if worst is not None and worst.verdict == "in doubt":
        return "in doubt", worst.evidence, agreeing
    if lack := _lack(figure):
        return "in doubt", lack, agreeing
    if figure.status == "repaired":
        return "unverified", "repaired in reading: " + "; ".join(figure.repairs), agreeing
    if not agreeing:
        return "unverified", _unproved(verdicts), agreeing
    return "verified", f"agrees: {said}", agreeing


def build_table(
    title: str,
    witnesses: list[Witness],
    findings: list[Finding],
    rulings: tuple[Ruling, ...] = (),
    *,
    groups: dict[str, str] | None = None,
    copy_text: str = "",
    notes: tuple[str, ...] = (),
    emended: dict[str, Figure] | None = None,
) -> LimitTable:
    """Join limits, findings and rulings into a limit table.

    Parameters
    ----------
    title : str
    witnesses : list of Witness, in the dossier's order
    findings : list of Finding
    rulings : tuple of Ruling, oldest first
    groups : dict of str to str, optional
        Limit id to group id, from collation; a limit without one is a group alone.
    copy_text : str, optional
        Id of the source whose rows lead; default the first witness.
    notes : tuple of str, optional
    emended : dict of str to Figure, optional
        Figure id to the figure a ruling put in its place; the row keeps its id.

    Returns
    -------
    LimitTable
        One row for each figure of each limit; a figure no limit claims gets a row of its
        own with no parameter, so that the count of rows is never below that of figures.
    """
    in_force = {ruling.target: ruling for ruling in rulings}
    by_target: dict[str, list[Finding]] = {}
    for finding in findings:
        for target in dict.fromkeys((*finding.limit_ids, *finding.figure_ids)):
            by_target.setdefault(target, []).append(finding)
    groups = groups or {}
    order = sorted(witnesses, key=lambda w: w.source.id != copy_text) if copy_text else witnesses
    led: set[str] = set()
    leads: set[str] = set()
    for witness in order:
        for limit in _limits_with_orphans(witness):
            group = groups.get(limit.id, limit.id)
            if group not in led:
                led.add(group)
                leads.update(f"{limit.id}/{fid}" for fid in limit.figure_ids)
    home = _Home(
        {fid: w.source for w in witnesses for fid in w.figures},
        {fid: f.unit for w in witnesses for fid, f in w.figures.items()},
    )
    rows = []
    emended = emended or {}
    times_seen: dict[str, int] = {}
    for witness in witnesses:
        for limit in _limits_with_orphans(witness):
            for figure_id in limit.figure_ids:
                figure = witness.figures[figure_id]
                times_seen[figure_id] = times_seen.get(figure_id, 0) + 1
                # A figure that two limits share stands in two rows, told apart by a number.
                again = "" if times_seen[figure_id] == 1 else f"-{times_seen[figure_id]}"
                ruling = in_force.get(figure_id) or in_force.get(limit.id)
                seen: dict[int, Finding] = {}
                for target in (limit.id, figure_id):
                    for finding in by_target.get(target, ()):
                        seen[id(finding)] = finding
                verdicts = list(seen.values())
                changed = figure_id in emended
                figure = emended.get(figure_id, figure)
                standing, reason, checks = _standing(figure, verdicts, ruling, changed, home)
                rows.append(
                    Row(
                        id=figure_id + again,
                        limit_id=limit.id,
                        group=groups.get(limit.id, limit.id),
                        lead=f"{limit.id}/{figure_id}" in leads,
                        parameter=limit.parameter,
                        condition=limit.condition,
                        bound=limit.bound,
                        time_limit_s=limit.time_limit_s,
                        time_unlimited=limit.time_unlimited,
                        figure=_settled(figure, ruling),
                        standing=standing,
                        reason=reason,
                        checks=checks,
                        source=witness.source,
                        ruling=ruling,
                        applies_to=limit.applies_to,
                        notes=limit.notes,
                    )
                )
    rows = _held_to_their_times(rows)
    return LimitTable(
        title, tuple(rows), tuple(w.source for w in witnesses), tuple(findings), rulings, notes
    )


_NEAR = 3
"""Lines between a limit and the time printed for it."""


def _held_to_their_times(rows: list[Row]) -> list[Row]:
    """The rows, none better proved than the time it is said to hold for.

    A time limit is a figure of its own, with a row of its own. Where that one is in doubt, a
    limit that takes its time from it cannot be verified: five minutes may be fifteen.
    """
    times: dict[tuple[str, int, Fraction], list[Row]] = {}
    for row in rows:
        q = row.figure.quantity
        if q.is_read and (q.unit or q.unit_slug) and q.row.si_unit == "s":
            seconds = q.exact_si()[0]
            if seconds is not None:
                place = row.figure.place
                times.setdefault((row.source.id, place.page, seconds), []).append(row)
    out = []
    for row in rows:
        if row.standing == "verified" and row.ruling is None and row.time_limit_s is not None:
            place = row.figure.place
            found = times.get((row.source.id, place.page, row.time_limit_s), ())
            near = [t for t in found if abs(t.figure.place.line - place.line) <= _NEAR]
            time = min(near, key=lambda t: abs(t.figure.place.line - place.line), default=row)
            if time.standing in ("contradicted", "in doubt", "rejected"):
                said = f"the time it holds for is {time.standing}: {time.reason}"
                row = replace(row, standing="in doubt", reason=said)
        out.append(row)
    return out


def _limits_with_orphans(witness: Witness) -> list[Limit]:
    """The witness's limits, each figure in one of them at least, in figure order."""
    claimed: dict[str, list[Limit]] = {}
    for limit in witness.limits:
        claimed.setdefault(limit.figure_ids[0], []).append(limit)
    inside = {fid for limit in witness.limits for fid in limit.figure_ids}
    out: list[Limit] = []
    for fid in witness.figures:
        out.extend(claimed.get(fid, ()))
        if fid not in inside:
            out.append(
                Limit(id=fid, parameter=None, condition=None, bound="nominal", figure_ids=(fid,))
            )
    return out
