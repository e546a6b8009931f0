"""Timed transcripts: ``[m:ss]`` lines, SRT and WebVTT, as running text with stamps."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from reconcile.errors import DamagedSourceError, EmptySourceError
from reconcile.records import Page
from reconcile.sources.text import read_lines

MAX_SECONDS = 600.0
"""A page of a transcript is about this long [s]."""
MAX_STRETCH = 100_000
"""... and no longer than this [characters]."""
PAUSE = 3.0
"""Silence [s] between two cues that begins a new line of text."""
ROLLING = 0.3
"""Cues this close together [s] may repeat each other's lines only for show."""

_CLOCK = r"(?:(\d{1,3}):)?(\d{1,2}):(\d{2})(?:[.,](\d{1,3}))?"
_ARROW = re.compile(rf"\s*{_CLOCK}\s*-->\s*{_CLOCK}")
_STAMPED = re.compile(rf"\s*(?:\[{_CLOCK}\]|\({_CLOCK}\)|{_CLOCK}(?=[\s\-–—:.]|$))[\s\-–—]*")
_INLINE = re.compile(rf"<{_CLOCK}>")
_TAG = re.compile(r"</?[a-zA-Z][^<>\n]{0,200}>")
_VTT_BLOCK = re.compile(r"(?:NOTE|STYLE|REGION)(?:\s|$)")


@dataclass(frozen=True, slots=True)
class Cue:
    """One timed caption; `end` is None where the file states none. Times in seconds."""

    start: float
    end: float | None
    lines: tuple[str, ...]


def looks_like_captions(path: Path, encoding: str) -> bool:
    """True if most of the first lines of a text bear time stamps."""
    try:
        lines = [line for line in islice(read_lines(path, encoding), 60) if line.strip()]
    except DamagedSourceError:
        return False
    if not lines:
        return False
    if any(_ARROW.match(line) for line in lines):
        return True
    bracketed = sum(line.lstrip()[:1] in "[(" and bool(_STAMPED.match(line)) for line in lines)
    stamped = sum(bool(_STAMPED.match(line)) for line in lines)
    alone = sum(
        bool((m := _STAMPED.match(line)) and not line[m.end() :].strip()) for line in lines
    )  # a stamp on one line, its words on the next
    timed = 10 * stamped >= 6 * len(lines) or 10 * alone >= 4 * len(lines)
    return bracketed * 3 >= len(lines) or (timed and _rises(lines))


def _rises(lines: list[str]) -> bool:
    times = [_seconds(m) for line in lines if (m := _STAMPED.match(line))]
    return len(times) >= 3 and times == sorted(times) and times[0] < times[-1]


def read_caption_pages(path: Path, source_id: str, encoding: str) -> Iterator[Page]:
    """Pages of a timed transcript.

    Parameters
    ----------
    path : Path
    source_id : str
    encoding : str

    Yields
    ------
    Page
        About ten minutes each. Cues are joined by blanks, so that a sentence or a number
        runs on from cue to cue; a pause or a sentence's end at a new stamp begins a line.
        `stamps` hold the seconds at which each cue begins. Lines that rolling captions
        show twice are left out, and `notes` say how many.

    Raises
    ------
    DamagedSourceError
        No time stamp in the file.
    EmptySourceError
        Stamps, but no words.
    """
    writer = _Writer(source_id)
    cues = 0
    for cue in _cues(path, encoding):
        cues += 1
        if writer.full(cue):
            yield writer.page()
        writer.add(cue)
    if not cues:
        raise DamagedSourceError(
            "holds no time stamps",
            where=path.name,
            expected="[m:ss] lines, SRT or WebVTT",
            do="read it as plain text (medium text)",
        )
    if writer.parts:
        yield writer.page()
    elif not writer.number:
        raise EmptySourceError("has time stamps but no words", where=path.name)


class _Writer:
    """Joins cues into pages."""

    def __init__(self, source_id: str) -> None:
        self.source_id = source_id
        self.number = 0
        self.last: tuple[str, ...] = ()
        self.end: float | None = None
        self._clear()

    def _clear(self) -> None:
        self.parts: list[str] = []
        self.length = 0
        self.stamps: list[tuple[int, float]] = []
        self.dropped = 0
        self.begin: float | None = None

    def full(self, cue: Cue) -> bool:
        """True if `cue` belongs on a new page."""
        if not self.parts or self.begin is None:
            return False
        long = cue.start - self.begin >= MAX_SECONDS and self._ended(cue)
        return long or self.length >= MAX_STRETCH

    def _ended(self, cue: Cue) -> bool:
        pause = self.end is not None and cue.start - self.end > PAUSE
        stopped = self.parts[-1].rstrip("\"'”»)").endswith((".", "?", "!", "…", "。"))
        return pause or stopped or (self.begin or 0.0) + 2 * MAX_SECONDS < cue.start

    def add(self, cue: Cue) -> None:
        lines = list(cue.lines)
        near = self.end is not None and abs(cue.start - self.end) <= ROLLING
        if near and lines and self.last:
            for count in range(min(len(lines), len(self.last)), 0, -1):
                plain = tuple(_INLINE.sub("", line).strip() for line in lines[:count])
                if plain == self.last[-count:]:
                    del lines[:count]
                    self.dropped += count
                    break
        if cue.lines:
            self.last = tuple(_INLINE.sub("", line).strip() for line in cue.lines)
        if lines:
            joint = ""
            if self.parts:
                joint = "\n" if self._line_break(cue) else " "
            self._append(cue.start, " ".join(lines), joint)
        self.end = cue.end

    def _line_break(self, cue: Cue) -> bool:
        if self.end is not None:
            return cue.start - self.end > PAUSE
        return self.parts[-1].endswith((".", "?", "!", "…", "。", ":"))

    def _append(self, start: float, words: str, joint: str) -> None:
        at = self.length + len(joint)
        self.stamps.append((at, start))
        if self.begin is None:
            self.begin = start
        clean, done = "", 0
        for match in _INLINE.finditer(words):  # word times of automatic captions
            clean += words[done : match.start()]
            done = match.end()
            offset = at + len(clean)
            if words[done : done + 1] == " ":
                offset += 1
            if offset > self.stamps[-1][0]:
                self.stamps.append((offset, _seconds(match)))
        clean += words[done:]
        self.parts.append(joint + clean)
        self.length += len(joint) + len(clean)

    def page(self) -> Page:
        """The page so far; begins another."""
        self.number += 1
        text = "".join(self.parts)
        notes = (f"{self.dropped} repeated caption lines left out",) if self.dropped else ()
        stamps = tuple(stamp for stamp in self.stamps if stamp[0] < max(1, len(text)))
        page = Page(self.source_id, self.number, text, how="caption", stamps=stamps, notes=notes)
        self._clear()
        return page


def _cues(path: Path, encoding: str) -> Iterator[Cue]:
    """Cues of any of the three forms, told apart line by line."""
    timed: tuple[float, float] | None = None
    start: float | None = None
    held: list[str] = []
    before = ""
    skip = False
    for raw in read_lines(path, encoding):
        line = raw.strip("\ufeff\n\r \t")
        if skip:
            skip = bool(line)
            continue
        if match := _ARROW.match(line):
            if held and held[-1] == before and before.isdigit() and (timed or start) is not None:
                held.pop()  # the number of the cue that begins here
            if timed is not None or start is not None:
                yield _cue(timed, start, held)
            groups = match.groups()
            timed, start, held = (_clock(groups[:4]), _clock(groups[4:])), None, []
        elif timed is None and (match := _STAMPED.match(line)):
            if start is not None:
                yield _cue(None, start, held)
            start, held = _seconds(match), [_clean(line[match.end() :])]
        elif timed is not None:
            if line:
                held.append(_clean(line))
            elif held:
                yield _cue(timed, None, held)
                timed, held = (timed[1], timed[1]), []
        elif start is not None:
            if line:
                held.append(_clean(line))
        elif _VTT_BLOCK.match(line):
            skip = True
        elif line and not line.startswith("WEBVTT") and not line.isdigit():
            pass  # a title above the first stamp
        before = line
    if timed is not None or start is not None:
        yield _cue(timed, start, held)


def _cue(timed: tuple[float, float] | None, start: float | None, lines: list[str]) -> Cue:
    lines = [line for line in lines if line.strip()]
    if timed is not None:
        return Cue(timed[0], timed[1], tuple(lines))
    return Cue(start or 0.0, None, tuple(lines))


def _clean(line: str) -> str:
    if "<" in line:
        line = _TAG.sub("", line)
    if "&" in line:
        line = html.unescape(line)
    return line.replace("\u200b", "").strip()


def _clock(groups: tuple[str | None, ...]) -> float:
    hours, minutes, seconds, part = groups
    whole = int(hours or 0) * 3600 + int(minutes or 0) * 60 + int(seconds or 0)
    return whole + (int(part) / 10 ** len(part) if part else 0.0)


def _seconds(match: re.Match[str]) -> float:
    groups = match.groups()
    for i in range(0, len(groups), 4):
        if groups[i + 2] is not None:
            return _clock(groups[i : i + 4])
    return 0.0
