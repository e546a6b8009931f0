"""Figures that cannot be read: a digit under a blot, a torn corner, a blank before a unit.

They stay figures, with their place and unit and no value, so that nobody takes the paper to be
silent where it is only damaged.
"""

from __future__ import annotations

from reconcile.notation.drafts import Draft
from reconcile.notation.lexicon import unit_words
from reconcile.notation.misprints import read_misprinted_unit
from reconcile.notation.tokens import BLUR, FRACTION, KANJI, NUMBER, SIGN, WORD, Tokens
from reconcile.notation.unitwords import UnitMatch, read_unit, read_unit_before
from reconcile.notation.values import COMPOUNDS, ValueReader
from reconcile.notation.wordsets import word_set

BLOTS = frozenset("_■▇█▓▒░●◼◾◆〓□▢?�¿")
"""Signs that transcribers put for what they could not read."""

_DIGITS = frozenset({NUMBER, BLUR, KANJI, FRACTION})
_MARKS = frozenset(".,·'・")
_OPEN, _CLOSE = frozenset("[(<{«"), frozenset("])>}»")
_SQUARE = frozenset("□▢")
_AFTER = frozenset(",;)/|")


def find_voids(reader: ValueReader) -> dict[int, Draft]:
    """Illegible figures of the text, by the token they begin at."""
    t = reader.t
    norm, kind = t.norm, t.kind
    found: dict[int, Draft] = {}
    at = [i for i, k in enumerate(kind) if k == SIGN and norm[i] not in _HARMLESS]
    if "void" in reader.roles:
        worded = {i for i, m in reader.mentions.items() if m.terms[0].role == "void"}
        at = sorted({*at, *worded})
    done = 0
    for i in at:
        if i < done:
            continue
        draft = None
        if kind[i] == SIGN and (norm[i][0] in BLOTS or (norm[i] in _JUNK and _spoils(t, i))):
            draft = _blotted(reader, i)
        elif norm[i] == "...":
            draft = _dotted(reader, i)
        elif norm[i] == "-" and i and t.gap[i] == 0 and t.kind[i - 1] in _DIGITS:
            draft = _dashed(reader, i)
        elif norm[i] in _OPEN:
            draft = _bracketed(reader, i)
        else:
            mention = reader.mentions.get(i)
            if mention is not None and mention.has("void"):
                draft = _worded(reader, i, mention.j)
        if draft is not None:
            _spread(reader, draft)
        if draft is not None and draft.i >= done:
            found[draft.i] = draft
            done = draft.j
    return found


_HARMLESS = frozenset({".", ",", ";", ":", "-", "+", "/", ")", "]", "°", "'", '"', "±", "=", "%"})
_JUNK = frozenset("#@$¤§!&^~")


def _spoils(t: Tokens, i: int) -> bool:
    """Whether a stray sign stands where a figure of a number should."""
    if not i or t.gap[i] or t.kind[i - 1] not in _DIGITS or i + 1 >= t.n:
        return False
    if t.gap[i + 1] == 0:
        return t.kind[i + 1] in _DIGITS and t.norm[i] not in "~&"
    return (
        t.norm[i] not in "~&!"
        and t.kind[i + 1] == WORD
        and t.gap[i + 1] == 1
        and (t.norm[i + 1] not in _UNITS_GO_ON and t.norm[i + 1] in unit_words())
    )


def _in_run(t: Tokens, i: int) -> bool:
    kind = t.kind[i]
    if kind in _DIGITS:
        return True
    return kind == SIGN and (
        t.norm[i][0] in BLOTS or t.norm[i] in _MARKS or (t.norm[i] in _JUNK and _spoils(t, i))
    )


def _blotted(reader: ValueReader, i: int) -> Draft | None:
    """``2?00 U/min``, ``4,? atü``, ``□ 瓩``, ``_____ lb``."""
    t = reader.t
    n = t.n
    begin, end = i, i + 1
    while (
        begin > 0
        and t.gap[begin] == 0
        and (_in_run(t, begin - 1) or (t.norm[begin - 1] == "[" and begin == i and begin > 1))
    ):
        begin -= 1
    while (
        end < n
        and t.gap[end] == 0
        and (
            _in_run(t, end)
            or (t.norm[end] == "]" and t.norm[end - 1][0] in BLOTS)
            or (t.norm[end] == "[" and end + 1 < n and t.norm[end + 1][0] in BLOTS)
        )
    ):
        end += 1
    if t.norm[i] in _SQUARE and i and t.norm[i - 1] in _STROKES:
        return None  # the square sign of "lb/□″"
    digits = any(t.kind[k] in _DIGITS for k in range(begin, end))
    while begin < i and t.norm[begin] in _MARKS:
        begin += 1
    if begin < i and t.norm[begin] == "[" and t.gap[begin] == 0:
        return None  # "word[?]"
    if begin > 0 and t.gap[begin] == 0 and t.norm[begin - 1][-1] not in "([{-+=:/÷~±.":
        if t.norm[begin - 1][-1] < "\u3000":
            return None  # "Druck?"
    elif begin > 1 and reader.continental and t.gap[begin] == 1 and t.kind[begin - 1] == NUMBER:
        width = t.end[end - 1] - t.start[begin]
        if width == 3 and t.norm[begin - 1].isdigit() and len(t.norm[begin - 1]) <= 3:
            begin -= 1  # "2 4?0"
    unit, at = _unit_after(reader, end)
    if unit is None:
        while t.norm[end - 1] in _MARKS and end > i + 1:
            end -= 1
        before = read_unit_before(t, begin, reader.tradition)
        inner = any(t.kind[k] in _DIGITS for k in range(i + 1, end))
        apart = (
            end >= n or t.gap[end] >= 2 or t.norm[end] in _AFTER or t.text[t.start[end]].islower()
        )
        if digits:
            partial = _void(t, begin, end)
            _spread(reader, partial)
            if partial.senses:
                return partial
        if not digits and before is None:
            return None
        if not (inner or before is not None or (apart and end < n)):
            return None
        draft = _void(t, begin, end)
        if before is not None:
            draft.senses, draft.unit_at = before.senses, before.end
        return draft
    if (
        not digits
        and t.norm[i] == "?"
        and end == i + 1
        and ((t.gap[i] == 0 and i and t.norm[i - 1] not in "+-=:(") or t.gap[end] not in {1, 2})
    ):
        return None
    return _void(t, begin, unit.end, unit, at)


def _dotted(reader: ValueReader, i: int) -> Draft | None:
    """``Öldruck ...... atü``, ``1,.. ata``: dots where figures should stand."""
    t = reader.t
    begin = i
    if (
        i > 1
        and t.gap[i] == 0
        and t.norm[i - 1] in ".,"
        and t.kind[i - 2] in _DIGITS
        and (t.gap[i - 1] == 0)
    ):
        begin = i - 2
    elif i and t.kind[i - 1] in _DIGITS:
        if t.gap[i]:
            return None
        begin = i - 1
    unit, at = _unit_after(reader, i + 1)
    if unit is None or not _plain(t, at, unit):
        return None
    return _void(t, begin, unit.end, unit, at)


def _dashed(reader: ValueReader, i: int) -> Draft | None:
    """``9— °C``: a dash for a figure that is lost."""
    t = reader.t
    if t.raw(i) not in "—–" or i + 1 >= t.n or t.gap[i + 1] != 1:
        return None
    unit, at = _unit_after(reader, i + 1)
    if unit is None or not _plain(t, at, unit):
        return None
    return _void(t, i - 1, unit.end, unit, at)


def _bracketed(reader: ValueReader, i: int) -> Draft | None:
    """``[...] kg``, ``[ ] atü``."""
    t = reader.t
    n = t.n
    j = i + 1
    while j < n and j - i < 4 and (t.norm[j] in {"...", ".", "-"} or t.norm[j][0] in BLOTS):
        j += 1
    if i and t.gap[i] == 0 and _in_run(t, i - 1):
        return None
    if j >= n or t.norm[j] not in _CLOSE or (j == i + 1 and t.norm[i] not in "[(<"):
        return None
    unit, at = _unit_after(reader, j + 1)
    if unit is None or not _plain(t, at, unit) or (i and t.kind[i - 1] in _DIGITS):
        return None
    return _void(t, i, unit.end, unit, at)


def _worded(reader: ValueReader, i: int, after: int) -> Draft | None:
    """``[illegible] lb``, ``(unleserlich) atü``."""
    t = reader.t
    n = t.n
    begin = i
    opened = bool(i) and t.norm[i - 1] in _OPEN
    if not opened and i > 1 and t.norm[i - 2] in _OPEN:
        opened, begin = True, i - 1  # "[value illegible]"
    if opened:
        begin -= 1
        while after < n and t.norm[after] not in _CLOSE and after - i < 6:
            after += 1
        after += 1
    if after >= n:
        return None
    unit, at = _unit_after(reader, after)
    if unit is None or not (opened or _plain(t, at, unit)):
        return None
    if opened and begin and t.kind[begin - 1] in _DIGITS and t.gap[begin] == 0:
        begin -= 1  # "2[torn] r.p.m."
    return _void(t, begin, unit.end, unit, at)


def _unit_after(reader: ValueReader, i: int) -> tuple[UnitMatch | None, int]:
    t = reader.t
    if i >= t.n or t.gap[i] > 2:
        return None, i
    unit = read_unit(t, i, reader.tradition, apart=t.gap[i] == 2)
    misprint = read_misprinted_unit(t, i, reader.tradition, unit, speech=False)
    return misprint if misprint is not None else unit, i


_LINKS = frozenset({"-", "~", "÷", "±", "+", "/", "..."})


def _spread(reader: ValueReader, draft: Draft) -> None:
    """Take in the rest of a range, tolerance or compound of which one member is lost."""
    t = reader.t
    for _ in range(3):
        end = _member_after(reader, draft)
        if not end:
            break
        draft.j = end
    i = draft.i
    linked = i - 1
    if i > 1 and t.kind[linked] != SIGN:
        linked = next(
            (
                i - back
                for back in (1, 2, 3)
                if (m := reader.mentions.get(i - back)) is not None
                and m.j == i
                and (
                    m.has("to")
                    or m.has("plus-minus")
                    or (m.has("and") and _between(reader, i - back - 1))
                )
            ),
            0,
        )
    elif i > 1 and t.norm[linked] not in _LINKS:
        linked = 0
    if linked > 0 and t.kind[linked - 1] in _DIGITS and t.gap[i] <= 1 and t.gap[linked] <= 1:
        draft.i = linked - 1
        while draft.i > 0 and t.kind[draft.i - 1] in _DIGITS and t.gap[draft.i] <= 1:
            draft.i -= 1
    draft.start, draft.end = t.start[draft.i], t.end[draft.j - 1]


def _between(reader: ValueReader, i: int) -> bool:
    """Whether "between" stands just before the number at token `i`."""
    return any(
        (m := reader.mentions.get(i - back)) is not None and m.has("between") for back in (1, 2, 3)
    )


def _member_after(reader: ValueReader, draft: Draft) -> int:
    """End of a further member of what a lost figure belongs to, or 0."""
    t = reader.t
    j = draft.j
    if j >= t.n or t.gap[j] > 1:
        return 0
    begin = 0
    if t.kind[j] == SIGN and t.norm[j] in _LINKS:
        begin = j + 1
    elif (found := reader.mentions.get(j)) is not None and (
        found.has("to") or found.has("plus-minus")
    ):
        begin = found.j
    if begin and begin < t.n:
        number = reader.number_at(begin)
        if number is None:
            return 0
        unit, at = _unit_after(reader, number.end)
        if unit is None:
            return number.end if draft.senses else 0
        if not draft.senses:
            draft.senses, draft.unit_at, draft.unit_end = unit.senses, at, unit.end
        return unit.end
    if t.kind[j] in _DIGITS and draft.senses and (number := reader.number_at(j)) is not None:
        unit, _ = _unit_after(reader, number.end)
        if unit is not None and any(
            (a.unit, b.unit) in COMPOUNDS for a in draft.senses for b in unit.senses
        ):
            return unit.end
    return 0


def _plain(t: Tokens, i: int, unit: UnitMatch) -> bool:
    """Whether a unit is plainly one, and not a short word that could be anything."""
    return unit.end - i > 1 or len(t.norm[i]) > 2 or t.norm[i] in "°粍瓩節度立"


def _void(
    t: Tokens, begin: int, end: int, unit: UnitMatch | None = None, unit_at: int = -1
) -> Draft:
    if begin and t.gap[begin] == 0 and t.norm[begin - 1] in "+-" and t.gap[begin - 1]:
        begin -= 1
    draft = Draft(begin, end)
    draft.void = True
    if unit is not None:
        draft.senses, draft.unit_at, draft.unit_end = unit.senses, unit_at, unit.end
    draft.notes.append("the figure, or part of it, is illegible")
    draft.start, draft.end = t.start[begin], t.end[end - 1]
    return draft


_UNITS_GO_ON = word_set("no-unit-behind-blot")
_STROKES = word_set("before-square-sign")
