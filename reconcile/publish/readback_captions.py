"""Writes the readback of a timed transcript as captions: SRT or WebVTT.

Each cue keeps its words and its time; the equivalents stand on lines of their own below
them, in square brackets.
"""

from __future__ import annotations

from dataclasses import dataclass

from reconcile.errors import UsageError
from reconcile.publish.readback import Mark, Readback, ReadbackPage

SHORTEST = 1.5
"""Seconds; stamps closer together (word by word) are shown as one cue."""
_LAST = 4.0
"""Seconds that the last cue of a page stays, or longer by its words."""
_PER_CHARACTER = 0.06


@dataclass(frozen=True, slots=True)
class Caption:
    """One cue: when, the words, what is said of their figures."""

    start: float
    end: float
    words: str
    marks: tuple[Mark, ...]


def captions_of(readback: Readback) -> list[Caption]:
    """The cues of a readback, in order.

    Raises
    ------
    UsageError
        The source has no time stamps.
    """
    out: list[Caption] = []
    for page in readback.pages:
        out.extend(_cues(page))
    if not out:
        raise UsageError(
            "the source has no time stamps",
            where=readback.source.name,
            expected="a timed transcript",
            do="choose html, markdown or tei",
        )
    # A cue ends where the next begins, across pages too.
    return [
        Caption(a.start, max(a.start, min(a.end, b.start)), a.words, a.marks)
        for a, b in zip(out, [*out[1:], Caption(float("inf"), 0.0, "", ())])
    ]


def _cues(page: ReadbackPage) -> list[Caption]:
    stamps = list(page.page.stamps)
    if not stamps:
        return []
    starts = [stamps[0]]
    for offset, seconds in stamps[1:]:
        # A stamp inside a word, or too close to the one before, begins no cue.
        if seconds - starts[-1][1] >= SHORTEST and not page.text[offset - 1 : offset].isalnum():
            starts.append((offset, seconds))
    starts[0] = (0, starts[0][1])
    cues = []
    for i, (offset, seconds) in enumerate(starts):
        end = starts[i + 1][0] if i + 1 < len(starts) else len(page.text)
        words = page.text[offset:end].strip("\n ")
        marks = tuple(m for m in page.marks if offset < m.end <= end)
        until = starts[i + 1][1] if i + 1 < len(starts) else None
        if until is None:
            until = seconds + max(_LAST, _PER_CHARACTER * len(words))
        cues.append(Caption(seconds, until, words, marks))
    return cues


def _clock(seconds: float, point: str) -> str:
    thousandths = round(seconds * 1000)
    hours, rest = divmod(thousandths, 3_600_000)
    minutes, rest = divmod(rest, 60_000)
    whole, rest = divmod(rest, 1000)
    return f"{hours:02d}:{minutes:02d}:{whole:02d}{point}{rest:03d}"


def _body(caption: Caption) -> list[str]:
    # A blank line would end the cue.
    words = [line for line in caption.words.split("\n") if line.strip()]
    return [*words, *(f"[{mark.line}]" for mark in caption.marks)]


def srt_text(readback: Readback) -> str:
    """A timed transcript's readback as SRT; the cautions stand in the first cue."""
    out = []
    for number, caption in enumerate(captions_of(readback), 1):
        body = _body(caption)
        if number == 1:
            body += [f"[{remark}]" for remark in (readback.rests_on, *readback.remarks)]
        # The arrow belongs to the format.
        lines = [line.replace("-->", "—>") for line in body]
        times = f"{_clock(caption.start, ',')} --> {_clock(caption.end, ',')}"
        out.append("\n".join([str(number), times, *lines]) + "\n")
    return "\n".join(out)


def vtt_text(readback: Readback) -> str:
    """A timed transcript's readback as WebVTT; the cautions stand in notes and first cue."""
    out = ["WEBVTT"]
    out += [f"NOTE {_escaped(remark)}" for remark in (readback.rests_on, *readback.remarks)]
    for number, caption in enumerate(captions_of(readback), 1):
        body = [_escaped(line) for line in _body(caption)]
        if number == 1:
            body.append(_escaped(f"[{readback.cautions[0]}]"))
        times = f"{_clock(caption.start, '.')} --> {_clock(caption.end, '.')}"
        out.append("\n".join([str(number), times, *body]))
    return "\n\n".join(out) + "\n"


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
