"""Collation: the same limit found again in every witness, and the apparatus of its variants.

Limits are first paired by what they say (parameter, condition, bound, kind), in order
where a key stands more than once; what is left is paired within small blocks by the least
total cost of assignment, from the likeness of condition, bound, value and place. Blocks
are bounded, so the whole grows as n log n.

References
----------
[Kuhn] H. W. Kuhn, The Hungarian method for the assignment problem, Naval Research
    Logistics Quarterly 2 (1955), 83; here through SciPy's ``linear_sum_assignment``.
[Maas] P. Maas, Textual Criticism (1958): lemma, witnesses, variants.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from functools import lru_cache

from reconcile.checks.material import Entry, Material
from reconcile.checks.rounding import judge_prints
from reconcile.records import Witness

_BLOCK = 40
"""Largest block that is solved as an assignment; larger ones are cut in order."""
_REFUSE = 1.5
"""Cost at which two limits are rather left unpaired than called the same."""


@dataclass(slots=True, eq=False)
class Group:
    """One limit in all the witnesses that have it."""

    readings: dict[int, Entry] = field(default_factory=dict)
    """By witness number, the figure printed first."""
    twins: dict[int, tuple[Entry, ...]] = field(default_factory=dict)
    """By witness number, that figure and its twins in other units."""

    @property
    def lemma(self) -> Entry:
        """The reading of the first witness that has the limit."""
        return self.readings[min(self.readings)]


@dataclass(frozen=True, slots=True)
class Collation:
    """All groups, in the order of the first witness and then of those that add to it."""

    witnesses: Sequence[Witness]
    groups: tuple[Group, ...]


@dataclass(frozen=True, slots=True)
class Variant:
    """A reading that is not the lemma's."""

    reading: str
    sigla: tuple[str, ...]
    verdict: str


@dataclass(frozen=True, slots=True)
class ApparatusEntry:
    """One line of the apparatus: lemma] witnesses that have it; variants."""

    parameter: str | None
    condition: str | None
    lemma: str
    sigla: tuple[str, ...]
    variants: tuple[Variant, ...]
    missing: tuple[str, ...] = ()
    """Witnesses that do not have the limit."""

    def __str__(self) -> str:
        subject = ", ".join(part for part in (self.parameter, self.condition) if part)
        parts = [f"{self.lemma}] {' '.join(self.sigla)}"]
        parts += [f"{v.reading} {' '.join(v.sigla)} ({v.verdict})" for v in self.variants]
        if self.missing:
            parts.append(f"om. {' '.join(self.missing)}")
        return f"{subject or 'unnamed'}: " + "; ".join(parts)


def collate(witnesses: Sequence[Witness] | Material) -> Collation:
    """Align the limits of any number of witnesses.

    Parameters
    ----------
    witnesses : sequence of Witness
        In order of authority: the first gives the lemmas.

    Returns
    -------
    collation : Collation
        Every limit of every witness stands in one group.
    """
    material = witnesses if isinstance(witnesses, Material) else Material.of(witnesses)
    groups: list[Group] = []
    for number, statements in enumerate(material.statements):
        firsts = [statement[0] for statement in statements]
        pairs = align([group.lemma for group in groups], firsts)
        taken = set(pairs.values())
        for at, matched in pairs.items():
            groups[at].readings[number] = firsts[matched]
            groups[at].twins[number] = statements[matched]
        groups += [
            Group({number: statement[0]}, {number: statement})
            for i, statement in enumerate(statements)
            if i not in taken
        ]
    return Collation(material.witnesses, tuple(groups))


def align(lemmas: Sequence[Entry], readings: Sequence[Entry]) -> dict[int, int]:
    """Which reading is the same limit as which lemma: index of lemma to index of reading."""
    pairs: dict[int, int] = {}
    left = list(range(len(lemmas)))
    right = list(range(len(readings)))
    # Strict first, then with the condition set free, then with only the kind kept.
    for key in (_full_key, _named_key, _kind_key):
        left = [i for i in left if i not in pairs]
        used = set(pairs.values())
        right = [j for j in right if j not in used]
        if not left or not right:
            break
        ours: dict[object, list[int]] = {}
        theirs: dict[object, list[int]] = {}
        for i in left:
            ours.setdefault(key(lemmas[i]), []).append(i)
        for j in right:
            theirs.setdefault(key(readings[j]), []).append(j)
        for at, block in ours.items():
            other = theirs.get(at) if at is not None else None
            if other:
                pairs |= _pair_block(lemmas, readings, block, other, strict=key is _full_key)
    return pairs


def _full_key(entry: Entry) -> object:
    return entry.key if entry.limit.parameter else None


def _named_key(entry: Entry) -> object:
    return (entry.key[0], entry.figure.kind) if entry.limit.parameter else None


def _kind_key(entry: Entry) -> object:
    return (entry.figure.kind, entry.figure.unit) if not entry.limit.parameter else None


def _pair_block(
    lemmas: Sequence[Entry],
    readings: Sequence[Entry],
    ours: list[int],
    theirs: list[int],
    *,
    strict: bool,
) -> dict[int, int]:
    if len(ours) == len(theirs) == 1:
        i, j = ours[0], theirs[0]
        return {i: j} if strict or _cost(lemmas[i], readings[j], 0.0) < _REFUSE else {}
    if max(len(ours), len(theirs)) <= _BLOCK:
        return _assign(lemmas, readings, ours, theirs, strict)
    # Too many of one name: a text's order is its best guide. Equal stretches are found by
    # what they say, and the stretches between them are solved as small blocks.
    pairs: dict[int, int] = {}
    marks_a = [_mark(lemmas[i]) for i in ours]
    marks_b = [_mark(readings[j]) for j in theirs]
    for a0, a1, b0, b1, same in _stretches(marks_a, marks_b):
        if same:
            pairs |= dict(zip(ours[a0:a1], theirs[b0:b1]))
            continue
        for step in range(0, max(a1 - a0, b1 - b0), _BLOCK):
            part_a, part_b = ours[a0:a1][step : step + _BLOCK], theirs[b0:b1][step : step + _BLOCK]
            if part_a and part_b:
                pairs |= _assign(lemmas, readings, part_a, part_b, strict)
    return pairs


def _mark(entry: Entry) -> object:
    value = entry.value and round(entry.value, 6)
    return (entry.limit.condition, entry.limit.bound, value, _headings(entry))


def _stretches(a: list[object], b: list[object]) -> list[tuple[int, int, int, int, bool]]:
    """Equal and unequal stretches of two sequences, by their unique common marks.

    Marks that stand once in each are anchors; the longest ascending run of them is kept
    (patience sorting), which costs n log n where a full comparison would cost n squared.
    """
    from bisect import bisect_left

    once_a = _once(a)
    once_b = _once(b)
    anchors = sorted((i, once_b[m]) for m, i in once_a.items() if m in once_b)
    tails: list[int] = []
    tail_at: list[int] = []
    back: list[int] = []
    for n, (_, j) in enumerate(anchors):
        at = bisect_left(tails, j)
        tails[at : at + 1] = [j]
        tail_at[at : at + 1] = [n]
        back.append(tail_at[at - 1] if at else -1)
    chain = []
    n = tail_at[-1] if tail_at else -1
    while n >= 0:
        chain.append(anchors[n])
        n = back[n]
    out: list[tuple[int, int, int, int, bool]] = []
    i = j = 0
    for x, y in [*reversed(chain), (len(a), len(b))]:
        if x < i or y < j:
            continue
        # Grow backwards from the anchor while the marks agree.
        back_by = 0
        while x - back_by > i and y - back_by > j and a[x - back_by - 1] == b[y - back_by - 1]:
            back_by += 1
        if x - back_by > i or y - back_by > j:
            out.append((i, x - back_by, j, y - back_by, False))
        ends = (min(x + 1, len(a)), min(y + 1, len(b)))
        if x - back_by < ends[0]:
            out.append((x - back_by, ends[0], y - back_by, ends[1], True))
        i, j = ends
    return out


def _once(marks: list[object]) -> dict[object, int]:
    count: dict[object, int] = {}
    for mark in marks:
        count[mark] = count.get(mark, 0) + 1
    return {mark: i for i, mark in enumerate(marks) if count[mark] == 1}


def _assign(
    lemmas: Sequence[Entry],
    readings: Sequence[Entry],
    ours: list[int],
    theirs: list[int],
    strict: bool,
) -> dict[int, int]:
    costs = [
        [
            _cost(lemmas[i], readings[j], abs(m / len(ours) - n / len(theirs)))
            for n, j in enumerate(theirs)
        ]
        for m, i in enumerate(ours)
    ]
    most = _REFUSE + 2.0 if strict else _REFUSE
    if len(ours) == len(theirs) and all(costs[n][n] <= 0.1 for n in range(len(ours))):
        return dict(zip(ours, theirs))
    from scipy.optimize import linear_sum_assignment

    rows, columns = linear_sum_assignment(costs)
    return {
        ours[m]: theirs[n] for m, n in zip(rows.tolist(), columns.tolist()) if costs[m][n] < most
    }


def _cost(one: Entry, other: Entry, shift: float) -> float:
    """How unlike two limits are: 0 for the same words and value."""
    cost = 0.3 * shift
    a, b = one.limit, other.limit
    if a.condition != b.condition:
        cost += 0.2 + 0.8 * (1 - _likeness(a.condition or "", b.condition or ""))
    if a.bound != b.bound:
        cost += 0.2 if "nominal" in (a.bound, b.bound) else 0.6
    if a.applies_to != b.applies_to:
        cost += 0.4
    if a.time_limit_s != b.time_limit_s:
        cost += 0.2
    cost += _heading_cost(one, other)
    x, y = one.value, other.value
    if x is None or y is None:
        return cost + 0.3
    if x == y:
        return cost
    gap = abs(math.log(abs(x / y))) if x and y and x * y > 0 else 3.0
    return cost + min(1.0, 0.15 + gap)


def _heading_cost(one: Entry, other: Entry) -> float:
    """Table headings bind more than a value: a slip in a cell must not find it a new place."""
    a, b = _headings(one), _headings(other)
    if not a and not b:
        return 0.0
    if not a or not b:
        return 0.5
    return -0.6 if a == b else 0.6 * (1 - _likeness(a, b))


def _headings(entry: Entry) -> str:
    place = entry.figure.place
    return " | ".join((*place.row, *place.column)).casefold()


@lru_cache(maxsize=4096)
def _likeness(a: str, b: str) -> float:
    return SequenceMatcher(None, a, b, autojunk=False).ratio()


def siglum(number: int) -> str:
    """A, B, ... Z, AA, AB, ... for the witnesses in order."""
    name = ""
    number += 1
    while number:
        number, letter = divmod(number - 1, 26)
        name = chr(65 + letter) + name
    return name


def write_apparatus(collation: Collation) -> list[ApparatusEntry]:
    """The apparatus: an entry for every limit whose witnesses do not all read alike.

    Notes
    -----
    A witness that lacks the limit is named as omitting it, unless it has none of the
    limit's page neighbours either; extracts would otherwise omit on every line.
    """
    entries = []
    everyone = range(len(collation.witnesses))
    for group in collation.groups:
        lemma = group.lemma
        agreeing = [siglum(min(group.readings))]
        variants: dict[tuple[str, str], list[str]] = {}
        for number, entry in sorted(group.readings.items()):
            if entry is lemma:
                continue
            verdict = _verdict(lemma, entry)
            if verdict == "agrees":
                agreeing.append(siglum(number))
            else:
                variants.setdefault((entry.figure.as_written, verdict), []).append(siglum(number))
        missing = tuple(siglum(n) for n in everyone if n not in group.readings)
        if variants:
            entries.append(
                ApparatusEntry(
                    lemma.limit.parameter,
                    lemma.limit.condition,
                    lemma.figure.as_written,
                    tuple(agreeing),
                    tuple(Variant(r, tuple(s), v) for (r, v), s in variants.items()),
                    missing,
                )
            )
    return entries


def _verdict(a: Entry, b: Entry) -> str:
    if a.side is None or b.side is None or a.figure.kind != b.figure.kind:
        return "cannot tell"
    return judge_prints(a.side, b.side)


def group_limits(witnesses: Sequence[Witness]) -> dict[str, str]:
    """Limit id to the id of the first witness's limit that states the same.

    A twin's limit goes with the lemma's twin in its unit, or with the lemma itself.
    """
    found: dict[str, str] = {}
    for group in collate(witnesses).groups:
        lemma = group.twins[min(group.twins)]
        units = {entry.figure.unit: entry.limit.id for entry in reversed(lemma)}
        for statement in group.twins.values():
            for entry in statement:
                same = units.get(entry.figure.unit, lemma[0].limit.id)
                found.setdefault(entry.limit.id, same)
    return found
