"""Check *witnesses*: two sources, editions or copies that state one limit must agree.

Needs: a collation of two or more witnesses. Abstains: where a limit stands in one witness
only, where kinds, bounds or stated conditions differ, where a figure is unread; and where an
amendment note says that the figure was changed, since then both are right. Source:
tables/checks/causes for the odds; collation in the manner of editors.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from reconcile.checks.collate import collate
from reconcile.checks.compare import compare_in
from reconcile.checks.context import Context, read_context
from reconcile.checks.copies import COPY_ROLES, is_of_one_print, which_copies
from reconcile.checks.material import Entry, Material
from reconcile.checks.rounding import is_same_print
from reconcile.checks.show import BOUND_WORDS
from reconcile.records import Emendation, Finding, Source, Verdict

_NAMED = {"approx": "nominal", "range": "nominal"}
"""Bounds that say what is usual: a normal value is printed as one, as about one, as a span."""
_EDITION_WEIGHT = 12.0
"""How much likelier an amendment is between editions than between copies. Judged."""
_ONE_PRINT = 0.1
"""How much less likely it is between a print and its copy, which can only be of another state
of it. Judged."""
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
    one_print = is_of_one_print(*sources, [w.source for w in material.witnesses])
    if a is not None and b is not None and is_same_print(a, b):
        said = f"{one.told} in both "
        if _root(material, sources[0]) == _root(material, sources[1]):
            said += "files, which hold the same words: one witness, not two."
            return Finding("witnesses", "cannot tell", said, limits, ids)
        said += "witnesses"
        if one_print:
            said += "; one copies the other, so this proves the reading, not the print"
            if which_copies(*sources) is None:
                said = said.replace("one copies the other", "both copy one print")
        return _alike(Finding("witnesses", "agrees", said + ".", limits, ids), one, other)
    # A copy of one edition is to another edition what its model is.
    copy = which_copies(*sources) if one_print else None
    context = _context(material, one, other, sources, one_print)
    approximate = "approx" in (one.limit.bound, other.limit.bound)
    finding = compare_in(
        one.figure,
        other.figure,
        context,
        parameter=one.limit.parameter,
        twins=False if a is None or b is None else None,
        copy=copy,
        rivals=True,
        held=not approximate,
    )
    finding = replace(finding, check="witnesses", limit_ids=limits)
    if finding.verdict == "contradicts" and context.weights.get("edition_amended", 0) >= _STATED:
        # Said to be amended: a difference is what is to be expected, and is no fault.
        both = Emendation("edition_amended", None, 1.0, "an amendment note says it was changed")
        return replace(
            finding,
            verdict="cannot tell",
            evidence=f"{one.told} and {other.told}: different by "
            "amendment; each holds for its edition.",
            emendations=(both,),
        )
    copied = copy is not None and sources[copy].role != "transcript"
    return _alike(_qualified(finding, material, one, other, copied), one, other)


def _alike(finding: Finding, one: Entry, other: Entry) -> Finding:
    """The same number is no agreement where it is another bound or for another condition."""
    bounds = [_NAMED.get(entry.limit.bound, entry.limit.bound) for entry in (one, other)]
    opposed = set(bounds) == {"min", "max"}
    both = f"{one.told} and {other.told}"
    parts = [BOUND_WORDS[entry.limit.bound] for entry in (one, other)]
    apart = f"the {parts[0]} in one and the {parts[1]} in the other"
    if not finding.verdict.startswith("agrees"):
        if not opposed:
            return finding
        return replace(
            finding,
            verdict="cannot tell",
            evidence=f"{both}: {apart}, which are two limits.",
            emendations=(),
        )
    if bounds[0] != bounds[1]:
        verdict: Verdict = "in doubt" if opposed else "cannot tell"
        said = f"{both}: {apart}. One number under two bounds proves neither."
        return replace(finding, verdict=verdict, evidence=said)
    for_one, for_other = one.limit.condition, other.limit.condition
    if for_one and for_other and _plain(for_one) != _plain(for_other):
        said = f"{both}: for {for_one} in one and for {for_other} in the other. "
        said += "One number for two conditions proves neither."
        return replace(finding, verdict="cannot tell", evidence=said)
    return finding


def _plain(condition: str) -> str:
    return condition.casefold().replace("-", " ")


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
            evidence=f"{one.told} and {other.told}: a single value and "
            "a range do not say the same, and need not.",
        )
    if finding.verdict == "in doubt" and _same_limit(material, one, other):
        return finding
    both = sum(e.odds for e in finding.emendations if e.proposed is None)
    if both < _BOTH and (one.side.unit == other.side.unit or _sure(material, one, other)):
        return finding
    # Limits in two units that are perhaps not the same are no evidence of a fault at all.
    unclear = "ambiguous" in (one.figure.status, other.figure.status)
    if unclear or not _sure(material, one, other):
        return replace(
            finding,
            verdict="cannot tell",
            evidence=f"Perhaps two limits, not one: {finding.evidence}",
        )
    # Who copies a page sets down its limits; who talks of it may mean another of them.
    return finding if copied else replace(finding, verdict="in doubt")


def _sure(material: Material, one: Entry, other: Entry) -> bool:
    """Whether the two limits are beyond doubt the same: one name and rating, once in each."""
    return bool(one.limit.condition) and _same_limit(material, one, other)


def _same_limit(material: Material, one: Entry, other: Entry) -> bool:
    """Whether the two go by one name that stands once in each witness."""
    return one.key == other.key and all(material.how_often(e) == 1 for e in (one, other))


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
        if source.role not in COPY_ROLES:
            return source.id
        source = parent
        seen.add(source.id)


def _context(
    material: Material,
    one: Entry,
    other: Entry,
    sources: tuple[Source, Source],
    one_print: bool,
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
    if one_print:
        weights["edition_amended"] = weights.get("edition_amended", 1.0) * _ONE_PRINT
    elif editions:
        weights["edition_amended"] = weights.get("edition_amended", 1.0) * _EDITION_WEIGHT
    if one.limit.condition != other.limit.condition:
        weights["different_condition"] = weights.get("different_condition", 1.0) * 30
    return replace(context, weights=weights)
