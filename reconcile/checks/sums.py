"""Check *sums*: tank by tank against the total, parts against the whole.

Needs: a limit whose condition or words say "total", after at least two of the same
parameter and kind in the same witness. Abstains: where a part is a range or unread, or
where fewer than two parts stand before the total. Source: arithmetic; the words are rows
of tables/checks/total_words.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from reconcile.checks.emend import Constraint, Suspect, emend
from reconcile.checks.material import Entry, Material
from reconcile.checks.rounding import last_place_half
from reconcile.checks.show import end_sentence, show_as_printed
from reconcile.checks.sides import Side
from reconcile.checks.totals import is_total, multiplicity
from reconcile.records import Emendation, Finding

_KINDS = frozenset({"volume", "mass"})
_LINES = 4
"""Lines between two parts beyond which they belong to different lists."""


def check_sums(material: Material) -> Iterator[Finding]:
    """Findings on totals and their parts."""
    leads = material.leads
    for named in material.by_parameter:
        for entries in named.values():
            series: dict[tuple[object, ...], list[Entry]] = {}
            for entry in entries:
                place = entry.figure.place
                # Cells add up down their column, other figures where they stand together;
                # a twin in another unit adds nothing outside a column.
                if entry.figure.kind not in _KINDS or not entry.side or len(entry.side.ends) > 1:
                    continue
                if not place.column and entry.figure.id not in leads:
                    continue
                at = (entry.figure.kind, *entry.where, place.column)
                series.setdefault(at, []).append(entry)
            for together in series.values():
                yield from _totals(together)


def _totals(entries: list[Entry]) -> Iterator[Finding]:
    parts: list[Entry] = []
    seen: set[str] = set()
    for entry in entries:
        if entry.figure.id in seen:
            continue
        seen.add(entry.figure.id)
        if parts and entry.figure.place.line - parts[-1].figure.place.line > _LINES:
            parts = []
        if not is_total(entry):
            parts.append(entry)
            continue
        if len(parts) >= 2:
            yield _judge(entry, parts)
        parts = []


def _sides(parts: list[Entry]) -> list[Side]:
    return [e.side for e in parts if e.side is not None]


def _judge(total: Entry, parts: list[Entry]) -> Finding:
    assert total.side is not None
    counts = [multiplicity(e) for e in parts]
    sides = _sides(parts)
    summed = sum((c * s.si[0] for c, s in zip(counts, sides)), Fraction(0))
    printed = total.side.si[0]
    strict = sum(
        (c * last_place_half(s) for c, s in zip(counts, sides)), last_place_half(total.side)
    )
    gap = abs(summed - printed)
    exact = gap <= last_place_half(total.side)
    verdict = "agrees" if exact else "agrees within rounding" if gap <= strict else "contradicts"
    entries = [total, *parts]
    shown = " + ".join(
        f"{c} x {e.figure.as_written}" if c > 1 else e.figure.as_written
        for c, e in zip(counts, parts)
    )
    number = float(total.side.scale.number(summed))
    emendations = () if verdict != "contradicts" else _emendations(total, parts, counts)
    if emendations and emendations[0].proposed is None:
        # No single slip explains it: most likely these are not all the total's parts.
        verdict = "cannot tell"
    return Finding(
        "sums",
        verdict,  # type: ignore[arg-type]
        end_sentence(f"{shown} make {number:.6g}; the total is printed as {total.told}"),
        limit_ids=tuple(dict.fromkeys(e.limit.id for e in entries)),
        figure_ids=tuple(e.figure.id for e in entries),
        seen=total.told,
        expected=show_as_printed(summed, total.side),
        difference_si=float(printed - summed),
        emendations=emendations,
        steps=(
            f"parts: {shown}",
            f"sum {number:.6g}, printed {total.figure.as_written}",
            f"roundings of all together allow {float(strict / total.side.scale.factor):.4g}",
        ),
    )


def _emendations(total: Entry, parts: list[Entry], counts: list[int]) -> tuple[Emendation, ...]:
    """One slip in the total or in one part that would make the sum right."""
    suspects = []
    entries = [total, *parts]
    for at, entry in enumerate(entries):
        if entry.side is None:
            continue

        def holds(side: Side, at: int = at) -> bool:
            whole, *rest = [
                side if i == at else e.side for i, e in enumerate(entries) if e.side is not None
            ]
            if whole is None:
                return False
            summed = sum((c * s.si[0] for c, s in zip(counts, rest) if s), Fraction(0))
            return abs(summed - whole.si[0]) <= last_place_half(whole)

        constraint = Constraint("sums", holds)
        suspects.append(Suspect(entry.figure, entry.side, [constraint], entry.limit.parameter))
    return emend(suspects)
