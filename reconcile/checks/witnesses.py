"""Check *witnesses*: two sources, editions or copies that state one limit must agree.

Needs: a collation of two or more witnesses. Abstains: where a limit stands in one witness
only, where kinds differ, where a figure is unread; and where an amendment note says that
the figure was changed, since then both are right. Source: tables/checks/causes for the
odds; collation in the manner of editors.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from reconcile.checks.collate import collate
from reconcile.checks.compare import compare_in
from reconcile.checks.context import Context, read_context
from reconcile.checks.material import Entry, Material
from reconcile.records import Emendation, Finding, Source

_COPIES = frozenset({"transcription", "transcript"})
_EDITION_WEIGHT = 12.0
"""How much likelier an amendment is between editions than between copies. Judged."""
_BOTH = 0.5
"""Odds that both stand above which a difference is not called an error."""
_STATED = 20.0
"""Weight of words that say the figure was amended."""


def check_witnesses(material: Material) -> Iterator[Finding]:
    """A finding for every limit of a further witness against the first that has it."""
    for group in collate(material).groups:
        first = min(group.twins)
        for number, statement in group.twins.items():
            if number != first:
                for one, other in _pairs(group.twins[first], statement):
                    yield _compare(material, one, other)


def _compare(material: Material, one: Entry, other: Entry) -> Finding:
    limits = (one.limit.id, other.limit.id)
    a, b = one.side, other.side
    ids = (one.figure.id, other.figure.id)
    sources = material.witnesses[one.witness].source, material.witnesses[other.witness].source
    if a is not None and b is not None and a.ends == b.ends and a.scale == b.scale:
        if _root(material, sources[0]) == _root(material, sources[1]):
            return Finding(
                "witnesses",
                "cannot tell",
                f"{one.figure.as_written} in both files, which hold the same words: "
                "one witness, not two.",
                limits,
                ids,
            )
        said = f"{one.figure.as_written} in both witnesses"
        if _copy(sources) is not None:
            said += "; one copies the other, so this proves the reading, not the print"
        return Finding("witnesses", "agrees", said + ".", limits, ids)
    context = _context(material, one, other, sources)
    copy = _copy(sources)
    finding = compare_in(
        one.figure,
        other.figure,
        context,
        parameter=one.limit.parameter,
        twins=False if a is None or b is None else None,
        copy=copy,
        rivals=True,
        letter=copy is not None,
    )
    finding = replace(finding, check="witnesses", limit_ids=limits)
    if finding.verdict == "contradicts" and context.weights.get("edition_amended", 0) >= _STATED:
        # Said to be amended: a difference is what is to be expected, and is no fault.
        both = Emendation("edition_amended", None, 1.0, "an amendment note says it was changed")
        return replace(
            finding,
            verdict="cannot tell",
            evidence=f"{one.figure.as_written} and {other.figure.as_written}: different by "
            "amendment; each holds for its edition.",
            emendations=(both,),
        )
    return _qualified(finding, material, one, other, copy is not None)


def _qualified(
    finding: Finding, material: Material, one: Entry, other: Entry, copied: bool
) -> Finding:
    """The verdict as far as the alignment and the kind of witnesses carry it."""
    if finding.verdict not in ("contradicts", "in doubt"):
        return finding
    if one.side is None or other.side is None:
        return finding
    if len(one.side.ends) != len(other.side.ends):
        return replace(
            finding,
            verdict="cannot tell",
            evidence=f"{one.figure.as_written} and {other.figure.as_written}: a single value and "
            "a range do not say the same, and need not.",
        )
    both = sum(e.odds for e in finding.emendations if e.proposed is None)
    if both < _BOTH and (one.side.unit == other.side.unit or _sure(material, one, other)):
        return finding
    # Limits in two units that are perhaps not the same are no evidence of a fault at all.
    unclear = "ambiguous" in (one.figure.status, other.figure.status)
    if unclear or not _sure(material, one, other):
        return replace(
            finding,
            verdict="cannot tell",
            evidence=f"{one.figure.as_written} and {other.figure.as_written} may state different "
            f"limits: {finding.evidence}",
        )
    return finding if copied else replace(finding, verdict="in doubt")


def _sure(material: Material, one: Entry, other: Entry) -> bool:
    """Whether the two limits are beyond doubt the same: one name and rating, once in each."""
    if one.key != other.key or not one.limit.condition:
        return False
    return all(material.how_often(entry) == 1 for entry in (one, other))


def _pairs(ours: tuple[Entry, ...], theirs: tuple[Entry, ...]) -> list[tuple[Entry, Entry]]:
    """The figures of two limits to compare.

    By place where both print as many (a wrong unit shows then), else those of one unit,
    else the first of each.
    """
    if [e.figure.kind for e in ours] == [e.figure.kind for e in theirs]:
        return list(zip(ours, theirs))
    same = [
        (one, other)
        for one in ours
        for other in theirs
        if one.figure.unit == other.figure.unit and one.figure.kind == other.figure.kind
    ]
    return same[:1] or [(ours[0], theirs[0])]


def _copy(sources: tuple[Source, Source]) -> int | None:
    """Which of two sources is a copy, where one is and the other is not."""
    copies = [s.role in _COPIES for s in sources]
    if copies[0] != copies[1]:
        return copies.index(True)
    for at, source in enumerate(sources):
        if source.of and source.of in (sources[1 - at].id, sources[1 - at].name):
            return None if source.role == "edition" else at
    return None


def _root(material: Material, source: Source) -> str:
    """The file a witness's words come from: captions of a transcript are that transcript."""
    seen = {source.id}
    while True:
        parent = next(
            (
                w.source
                for w in material.witnesses
                if source.of and source.of in (w.source.id, w.source.name)
            ),
            None,
        )
        # A copy made of its parent by another reading of it (a typist's, a speaker's) is a
        # witness of its own; one of the same role is the same words in another dress.
        if parent is None or parent.role != source.role or parent.id in seen:
            return source.id
        if source.role not in _COPIES:
            return source.id
        source = parent
        seen.add(source.id)


def _context(
    material: Material, one: Entry, other: Entry, sources: tuple[Source, Source]
) -> Context:
    """What notes at the limits and amendment slips say about the pair."""
    words = [*one.limit.notes, *other.limit.notes]
    parameter = (one.limit.parameter or "").lower()
    for entry in (one, other):
        for note in material.witnesses[entry.witness].notes:
            low = note.lower()
            if parameter and parameter in low and entry.figure.as_written.lower() in low:
                words.append(note)
    context = read_context(" ; ".join(words))
    weights = dict(context.weights)
    editions = {s.role for s in sources} & {"edition"} or (
        sources[0].edition != sources[1].edition and all(s.edition for s in sources)
    )
    if editions and _copy(sources) is None:
        weights["edition_amended"] = weights.get("edition_amended", 1.0) * _EDITION_WEIGHT
    if one.limit.condition != other.limit.condition:
        weights["different_condition"] = weights.get("different_condition", 1.0) * 30
    return replace(context, weights=weights)
