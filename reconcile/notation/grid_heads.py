"""Headings of a table in fixed-width type: decks, stub heads, captions, heads of groups."""

from __future__ import annotations

from collections.abc import Sequence

from reconcile.notation.grid_columns import Column, head_columns, widen
from reconcile.notation.grid_lines import Line, Seg
from reconcile.notation.grid_records import Span

MAX_DECKS = 6
MAX_HEAD = 70
MAX_TITLE = 75


def group_head(lines: list[Line]) -> Seg | None:
    """The heading right above a list; a sentence that ends in a colon counts whole."""
    last = lines[-1].segs[0]
    if not last.text.endswith((":", "：", ":-", ":—")):
        return (
            last
            if is_title(last.text) and not (last.text.endswith(".") and len(last.text) > 45)
            else None
        )
    first = len(lines) - 1
    while first > 0 and len(lines) - first < 3:
        line, above = lines[first], lines[first - 1]
        begins = line.text.strip()[0].isupper() or line.text.strip()[0].isdigit()
        if begins and (line.indent > above.indent or above.text.rstrip().endswith((".", ":"))):
            break
        if len(above.segs) != 1 or above.indent > line.indent + 8:
            break
        first -= 1
    if first == len(lines) - 1:
        return last
    start = lines[first].segs[0]
    text = "\n".join(line.text for line in lines[first:])
    return Seg(start.start, last.end, start.lo, last.hi, text.strip(), "text")


def full_deck(lines: list[Line], body: list[Line], first: int) -> list[Seg]:
    """The fullest line of headings right above the body, without the stub head."""
    ends = [line.segs[0].hi for line in body if len(line.segs) > 1 and line.indent < first - 2]
    zone = min(first - 3, max(ends, default=first) + 1)
    best: list[Seg] = []
    for line in lines[: -MAX_DECKS - 1 : -1]:
        if line.rule:
            continue
        if len(line.segs) < 2 and (not line.segs or line.indent < zone):
            break
        if any(seg.text.startswith("&") for seg in line.segs):
            continue
        lead = line.segs[0]
        segs = line.segs[1:] if lead.lo < zone and lead.hi <= first else line.segs
        if len(segs) > len(best):
            best = segs
    return best


def read_headings(
    lines: list[Line], columns: list[Column], first: int, zone: int, *, body_apart: bool
) -> tuple[list[dict[int, Seg]], list[Line]]:
    """Decks of headings, uppermost first, and the lines above them."""
    picked: list[list[Seg]] = []
    i = len(lines) - 1
    while i >= 0 and len(picked) < MAX_DECKS:
        line = lines[i]
        if line.rule:
            i -= 1
            continue
        if len(line.segs) < 2 and (not line.segs or line.indent < zone):
            if picked and _is_stub_between(lines, i, zone):
                picked.append(line.segs)
                i -= 1
                continue
            break
        full = len(line.segs) == len(columns) + 1 and all(len(s.text) < 40 for s in line.segs)
        if line.sentences and line.indent < zone and not full:
            break
        if any(len(seg.text) > MAX_HEAD for seg in line.segs):
            break
        below = lines[i + 1] if i + 1 < len(lines) else None
        apart = below.apart if below is not None else body_apart
        if apart and 2 * sum(seg.lo >= zone for seg in line.segs) < len(columns):
            break  # a running head
        if apart and len(line.segs) == 1 and not _heads_column(line.segs[0].text):
            break  # a notice
        picked.append(line.segs)
        i -= 1
    picked.reverse()
    decks: list[dict[int, Seg]] = [{} for _ in picked]
    bare: list[list[Seg]] = []
    for deck, segs in zip(decks, picked):
        lead = segs[0]
        if lead.lo < zone and (
            lead.hi <= first or len(segs) == len(columns) + 1 or _over_labels(lead, segs, first)
        ):
            deck[0] = lead
            segs = segs[1:]
        bare.append(segs)
    # The fullest deck says how wide the columns are; the others are laid against it.
    order = sorted(range(len(picked)), key=lambda n: (-len(bare[n]), -n))
    for n in order:
        under = {j - 1: seg for deck in decks[:n:-1] for j, seg in deck.items() if j}
        upper = under if under and n < order[0] else None
        heads = head_columns(bare[n], columns, upper=upper) if bare[n] else {}
        decks[n].update((j + 1, seg) for j, seg in heads.items())
        widen(columns, heads)
    return decks, lines[: i + 1]


def _over_labels(lead: Seg, segs: list[Seg], first: int) -> bool:
    """Whether a heading wider than the row labels still stands over them, not beside them."""
    return len(segs) > 1 and lead.lo <= 1 and lead.hi <= first + 4 and lead.hi < segs[1].lo - 2


def _is_stub_between(lines: list[Line], i: int, zone: int) -> bool:
    """True for the stub head set by itself, level with the middle of two decks."""
    if i == 0 or len(lines[i].segs) != 1 or len(lines[i].text.strip()) > 30 or lines[i].apart:
        return False
    above = lines[i - 1]
    return not above.rule and bool(above.segs) and above.indent >= zone


def _heads_column(text: str) -> bool:
    """True for words that can head a column from beyond a blank line."""
    return len(text) <= 30 or (len(text) <= 45 and not text.endswith((".", "!")))


def caption_of(lines: Sequence[Line]) -> Span | None:
    """Up to two lines right above the headings that look like titles."""
    lines = [line for line in lines if line.segs and not line.rule][-3:]
    picked: list[Line] = []
    for line in reversed(lines[-2:]):
        if not is_title(line.text.strip()):
            break
        picked.append(line)
    if not picked:
        head = group_head(lines) if lines and len(lines[-1].segs) == 1 else None
        return head.span if head is not None else None
    return picked[-1].segs[0].start, picked[0].segs[-1].end


def is_title(text: str) -> bool:
    """True for a line that can be a title: short, and not the middle of a sentence."""
    if len(text) > MAX_TITLE or text[:1].islower():
        return False
    return not (text.endswith((".", ",", ";", "-")) and len(text) > 45)


def is_first_row(decks: list[dict[int, Seg]], columns: list[Column]) -> bool:
    """Whether the lowest deck is a row of values without a label: each has a heading of its own."""
    if len(decks) < 2:
        return False
    low, over = decks[-1], decks[-2]
    values = [j for j in low if j]
    if len(values) < max(2, len(columns)) or 0 in low:
        return False
    if any(low[j].kind != "number" or j not in over or over[j].kind != "text" for j in values):
        return False
    return len({over[j].span for j in values}) == len(values)
