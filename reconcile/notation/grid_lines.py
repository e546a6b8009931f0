"""Lines cut into segments: runs of words that gaps, tabs, leader dots or bars hold apart."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise
from unicodedata import east_asian_width

from reconcile.reference import load_rows

MAX_LINE = 1000
"""Longer lines are no table rows; also keeps the work on a line bounded."""
MAX_SEGMENTS = 40

_WORDS = re.compile(r"[^ \t\u3000]+(?: [^ \t\u3000]+)*")
_BARS = re.compile(r"[|│┃¦]")
_RULE = re.compile(r"^[\s|│┃¦+\-=_–—─━═┌┐└┘├┤┬┴┼╞╡╪:*~]+$")
_LEADER = re.compile(r"[ .…·_\t]{2,}|…")
_NUMBER = re.compile(
    r"(?:plus |minus )?[^\w\s\"]{0,3} ?(?:[ftIlOoSZB]{1,2} ?(?=\d))?[.,·]?"
    r"[\d½¼¾⅛⅜⅝⅞⅓⅔〇一二三四五六七八九十百千]"
)
_DIGIT = re.compile(r"[\d½¼¾⅛⅜⅝⅞⅓⅔〇一二三四五六七八九十百千]")
_MARKS = re.compile(r"[*†‡§¶]+|[¹²³⁴⁵⁶⁷⁸⁹]$|(?<=[\w.°])\((?:\d|[a-z]|note \d+)\)$", re.IGNORECASE)


@cache
def marks_of(role: str) -> frozenset[str]:
    """Marks and words of one role in tables/notation/grid_marks."""
    return frozenset(r["mark"] for r in load_rows("notation/grid_marks") if r["role"] == role)


@dataclass(slots=True)
class Seg:
    """One segment; `start`/`end` are text offsets, `lo`/`hi` columns on the line."""

    start: int
    end: int
    lo: int
    hi: int
    text: str
    kind: str
    """"number", "digits" (holds some), "text", "none" (a dash), "ditto"."""
    leads: bool = False
    """Leader dots follow it, so it labels what comes next."""

    @property
    def span(self) -> tuple[int, int]:
        return self.start, self.end

    @property
    def valued(self) -> bool:
        return self.kind in ("number", "none", "ditto")


@dataclass(slots=True)
class Line:
    """One line with its segments; `bars` if they were cut at bars, `tabs` at tabs."""

    start: int
    text: str
    segs: list[Seg] = field(default_factory=list)
    bars: bool = False
    tabs: bool = False
    leader: bool = False
    rule: bool = False
    sentences: bool = False
    """Its gaps are only those that typists left between sentences."""
    apart: bool = False
    """A blank line comes before it."""

    @property
    def blank(self) -> bool:
        return not self.text or self.text.isspace()

    @property
    def indent(self) -> int:
        return self.segs[0].lo if self.segs else 0


def kind_of(text: str) -> str:
    """What a segment looks like from outside."""
    low = text.lower()
    if low in marks_of("no cell"):
        return "none"
    if low in marks_of("ditto"):
        return "ditto"
    if _NUMBER.match(text):
        return "number"
    return "digits" if _DIGIT.search(text) else "text"


def note_marks(text: str) -> list[str]:
    """Note marks standing in or at the end of a cell."""
    if text[-1:].isalnum() and "*" not in text and "†" not in text:
        return []
    return [m.group() for m in _MARKS.finditer(text)]


def is_continued(text: str) -> bool:
    """True for a line that says a table goes on: "(cont'd)", "continued overleaf"."""
    words = text.strip(" -–—()[].…\t").lower()
    if len(words) > 60:
        return False
    marks = marks_of("continued")
    return words in marks or any(
        words.endswith((" " + m, "(" + m)) or words.startswith(m + " ") for m in marks
    )


def is_page_number(text: str) -> bool:
    """True for a line that holds a page number only."""
    words = text.strip(" -–—()[].\t").lower().removeprefix("page ").removeprefix("seite ")
    return 0 < len(words) <= 4 and (words.isdigit() or set(words) <= set("ivxlc"))


def looks_tabular(text: str) -> bool:
    """Cheap filter that nearly all lines of prose fail."""
    return (
        "  " in text
        or ".." in text
        or "\t" in text
        or "|" in text
        or "…" in text
        or ". ." in text
        or "\u3000" in text
        or "│" in text
        or "__" in text
    ) and len(text) <= MAX_LINE


def cut_line(start: int, text: str, *, apart: bool = False) -> Line:
    """Cut one line into segments."""
    line = Line(start, text, apart=apart)
    if not looks_tabular(text):
        if (body := text.strip()) and len(text) <= MAX_LINE:
            lo = len(text) - len(text.lstrip())
            line.segs = [_seg(start, text, lo, lo + len(body))]
            line.rule = len(body) > 2 and _RULE.match(body) is not None
        return line
    if _RULE.match(text) and len(text.strip()) > 2 and "..." not in text:
        line.rule = True
        line.bars = _BARS.search(text) is not None
        line.segs = [_seg(start, text, m.start(), m.end()) for m in _WORDS.finditer(text)]
        return line
    if _BARS.search(text):
        line.bars = True
        line.segs = _cut_at(line, _BARS)
        return line
    if "\t" in text.strip():
        line.tabs = True
    for match in _WORDS.finditer(text):
        lo, hi = match.span()
        _cut_leaders(line, lo, hi)
        if len(line.segs) > MAX_SEGMENTS:
            line.segs = line.segs[:1]
            break
    if len(line.segs) > 1 and not line.leader:
        line.sentences = all(_sentence_gap(a, b) for a, b in pairwise(line.segs))
    if max(text) >= _WIDEST_BEGIN and any(c in _WIDE for c in map(east_asian_width, text)):
        for seg in line.segs:
            seg.lo = _width(text[: seg.start - start])
            seg.hi = seg.lo + _width(seg.text)
    elif "\t" in text:
        for seg in line.segs:
            seg.lo = len(text[: seg.start - start].expandtabs(8))
            seg.hi = seg.lo + len(seg.text)
    return line


_WIDE = frozenset("WF")
_WIDEST_BEGIN = "\u1100"
"""No sign before it is wide."""


def _width(text: str) -> int:
    """Columns that `text` takes where Chinese signs are twice as wide as letters."""
    return sum(2 if east_asian_width(c) in _WIDE else 1 for c in text)


def _sentence_gap(left: Seg, right: Seg) -> bool:
    """True if two blanks part two sentences, not two columns."""
    if right.lo - left.hi != 2 or left.text[-1] not in ".?!:":
        return False
    long = right.text.count(" ") >= 2 or left.text.count(" ") >= 3
    return long and (right.text[0].isupper() or right.text.count(" ") >= 4)


def _seg(start: int, text: str, lo: int, hi: int, leads: bool = False) -> Seg:
    return Seg(start + lo, start + hi, lo, hi, text[lo:hi], kind_of(text[lo:hi]), leads)


def _cut_at(line: Line, bars: re.Pattern[str]) -> list[Seg]:
    # Blank cells are kept as empty segments: in a ruled table the place is the column.
    text = line.text
    ends = [m.start() for m in bars.finditer(text)]
    starts = [-1, *ends]
    stops = [*ends, len(text)]
    segs = []
    for left, right in list(zip(starts, stops))[:MAX_SEGMENTS]:
        inner = text[left + 1 : right]
        lo = left + 1 + len(inner) - len(inner.lstrip())
        hi = max(lo, left + 1 + len(inner.rstrip()))
        lo = min(lo, hi)
        seg = _seg(line.start, text, lo, hi)
        if lo == hi:
            seg.kind = ""
        segs.append(seg)
    return segs


def _cut_leaders(line: Line, lo: int, hi: int) -> None:
    """Append the parts of text[lo:hi] that leader dots hold apart."""
    text, at = line.text, lo
    part = text[lo:hi]
    if ".." in part or "…" in part or ". ." in part or "__" in part or "··" in part:
        for match in _LEADER.finditer(text, lo, hi):
            left, right = match.span()
            run = match.group()
            dots = len(run) - run.count(" ") - run.count("\t") + 2 * run.count("…")
            if dots < 2:
                continue
            if left > at and run[0] == "." and run[1:2] == " ":
                left += 1  # the label's own full stop
            if right < hi and run[-1] == "." and run[-2] in " \t" and text[right].isdigit():
                right -= 1  # the leading point of .49
            groups = text[left:right].split()
            if (
                len(groups) == 1
                and dots <= 3
                and left > at
                and right < hi
                and text[left - 1].isdigit()
                and text[right] in "0123456789+-−"
            ) or (left == at and right < hi and not line.segs and left == lo and dots < 3):
                continue  # 80 ... 220 is a range
            if left > at:
                _append(line, at, left, leads=True)
            elif line.segs:
                line.segs[-1].leads = True
            if right >= hi and left > at and line.segs:
                line.segs[-1].leads = True
            line.leader = True
            at = right
    if at < hi:
        _append(line, at, hi)


def _append(line: Line, lo: int, hi: int, leads: bool = False) -> None:
    inner = line.text[lo:hi]
    body = inner.strip()
    if body:
        lo += len(inner) - len(inner.lstrip())
        line.segs.append(_seg(line.start, line.text, lo, lo + len(body), leads))
