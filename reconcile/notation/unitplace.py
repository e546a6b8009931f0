"""The unit that goes with a number: behind it, before it, or a sign that repeats one."""

from __future__ import annotations

from reconcile.notation.dittos import ditto_end, figure_above
from reconcile.notation.drafts import Draft
from reconcile.notation.misprints import GOES_ON, read_misprinted_unit
from reconcile.notation.tokens import FRACTION, Tokens
from reconcile.notation.unitwords import UnitMatch, read_ditto, read_unit
from reconcile.notation.values import ValueReader
from reconcile.notation.wordsets import word_set

_REMARKS = word_set("remarks-behind-units")


def unit_at_token(reader: ValueReader, draft: Draft, i: int) -> UnitMatch | None:
    t = reader.t
    n = t.n
    if i >= n:
        return None
    j = i
    # transcriber's marks round a number: "^[[88]] MPH"
    while j < n and t.norm[j] == "]" and j - i < 2 and t.gap[j] == 0:
        j += 1
    if j < n and t.norm[j] == "*" and t.gap[j] < 2:
        j += 1
    if (
        j + 3 < n
        and t.norm[j] in {"(", "["}
        and t.gap[j] < 2
        and t.norm[j + 1] in _REMARKS
        and (t.norm[j + 2] in {")", "]"})
    ):
        if t.norm[j + 1] == "?":
            draft.doubtful = True
            draft.notes.append("marked as doubtful in the copy")
        j += 3
    if (
        j < n
        and t.norm[j] in _ONE_OF
        and draft.i < i
        and not reader.continental
        and (t.norm[j - 1] in _PARTS or t.kind[j - 1] == FRACTION or t.norm[j - 2] == "/")
    ):
        match = read_unit(t, j + 1, reader.tradition)  # "half an hour"
        if match is not None:
            return match
    if j + 1 < n and t.norm[j] == "0" and t.gap[j] <= 1 and not t.gap[j + 1] and draft.i < i:
        match = read_unit(t, j + 1, reader.tradition)  # "85 0C"
        if match is not None and match.senses[0].kind == "temperature":
            return match._replace(note="0 before the letter read as the degree mark")
    if j < n and draft.i < i and t.gap[j] == 1 and t.raw(j) in _SCALES_MISREAD:
        printed, t.norm[j] = t.norm[j], t.norm[j][1:]
        match = read_unit(t, j, reader.tradition)  # "45 OC."
        if match is not None and match.senses[0].kind == "temperature":
            return match._replace(note=f"{t.raw(j)!r}: O read as the degree mark")
        t.norm[j] = printed
    if j + 1 < n and t.norm[j] in _DEGREES and not t.gap[j] and t.gap[j + 1] < 2:  # noqa: SIM102
        if t.norm[j + 1] in _SCALES and t.raw(j + 1).isupper() and draft.i < i:
            match = read_unit(t, j + 1, reader.tradition)  # "85' C"
            if match is not None and match.senses[0].kind == "temperature":
                return match._replace(note=f"{t.raw(j)!r} read as the degree mark")
    if t.norm[j : j + 1] == ['"'] and t.gap[j] and ditto_end(reader, j) and "\n" in t.text:  # noqa: SIM102
        if not figure_above(t, j):
            return None  # a ditto under a unit, and no inches
    match = read_unit(t, j, reader.tradition)
    if match is None and j in reader.mentions and len(t.norm[j]) > 2:
        return None
    if (
        match is not None
        and not reader.speech
        and (match.end >= n or t.gap[match.end] > 1 or t.norm[match.end] not in GOES_ON)
    ):
        return match
    misprint = read_misprinted_unit(t, j, reader.tradition, match, speech=reader.speech)
    return match if misprint is None else misprint


_DEGREES = frozenset({"'", '"', "*", "^", "o"})
"""What a degree mark is taken for."""
_SCALES = frozenset({"c", "f", "с"})
_SCALES_MISREAD = frozenset({"OC", "OF", "oC", "oF"})

_PARTS = word_set("words-of-parts")


def _dash_for_unit(t: Tokens, i: int) -> bool:
    """Whether a dash at token `i` closes a line and stands for the unit over it: "12 —"."""
    return (
        0 < i < t.n
        and t.norm[i] == "-"
        and t.raw(i) in "—–"
        and t.gap[i] in {1, 2}
        and t.start[i] - t.end[i - 1] <= _UNIT_OFF
        and (i + 1 >= t.n or t.gap[i + 1] >= 3)
        and t.text.rfind("\n", 0, t.start[i]) >= 0
    )


_UNIT_OFF = 3
"""Blanks that a unit may stand off its number; a dash farther off is a cell of its own."""


def take_unit(reader: ValueReader, draft: Draft, unit: UnitMatch | None, end: int) -> None:
    if unit is not None:
        draft.senses = unit.senses
        draft.unit_at = end
        draft.unit_end = unit.end
        draft.j = max(draft.j, unit.end)
        if unit.note:
            draft.notes.append(unit.note)
        return
    draft.j = max(draft.j, end)
    ditto = read_ditto(reader.t, end)
    if (
        not ditto
        and end < reader.t.n
        and reader.t.gap[end] == 2
        and reader.t.start[end] - reader.t.end[end - 1] <= 4
    ):
        far = ditto_end(reader, end)
        if far and not figure_above(reader.t, end):
            ditto = far
    if not ditto and _dash_for_unit(reader.t, end):
        ditto = end + 1
    if ditto:
        draft.ditto = True
        draft.j = ditto


_ONE_OF = word_set("one-of-time")
