"""Timed transcripts in each form: running text with stamps."""

from __future__ import annotations

from pathlib import Path

import pytest

from reconcile.records import Page
from reconcile.sources import read_source

LINES = """\
A talk about the engine

[0:58] so we open her up to twenty
[1:02] eight hundred and that is plus
[1:05] six. Then throttle back.
[1:09] Now the oil
1:01:30 eighty pounds
"""
SRT = """\
1
00:00:01,500 --> 00:00:04,000
We run up to
two thousand

2
00:00:04,000 --> 00:00:06,000
revs.

3
00:00:12,000 --> 00:00:14,000
<i>Boost</i> plus six &amp; steady
"""
VTT = """\
WEBVTT
Kind: captions

NOTE
made by hand 12:00

STYLE
::cue { color: red }

intro
00:01.500 --> 00:04.000 align:start position:0%
<v Pilot>We run up to

00:04.000 --> 00:06.000
two thousand revs.
"""
ROLLING = """\
WEBVTT

00:00:01.000 --> 00:00:03.000
&nbsp;
so<00:00:01.400><c> the</c><00:00:01.800><c> oil</c>

00:00:03.000 --> 00:00:03.010
so the oil
&nbsp;

00:00:03.010 --> 00:00:05.000
so the oil
is<00:00:03.500><c> at</c><00:00:04.000><c> eighty</c>

00:00:05.000 --> 00:00:05.010
is at eighty
&nbsp;

00:00:05.010 --> 00:00:07.000
is at eighty
pounds
"""


def _read(tmp_path: Path, name: str, text: str) -> list[Page]:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    source, pages = read_source(path)
    assert (source.medium, source.role) == ("captions", "transcript")
    return list(pages)


def _at(page: Page, words: str) -> float:
    """Time of the last stamp at or before `words`."""
    offset = page.text.index(words)
    return max(time for at, time in page.stamps if at <= offset)


def test_bracketed_lines(tmp_path: Path) -> None:
    """Numbers run on over stamps; a sentence's end begins a line; hours are understood."""
    *_, page = pages = _read(tmp_path, "a.txt", LINES)
    text = "\n".join(p.text for p in pages)
    assert text.startswith("so we open her up to twenty eight hundred and that is plus six.")
    assert "Now the oil" in text
    assert (_at(pages[0], "twenty"), _at(pages[0], "eight hundred")) == (58.0, 62.0)
    assert _at(page, "eighty") == 3690.0


def test_srt(tmp_path: Path) -> None:
    """Cue numbers and tags are no words; a pause begins a line."""
    [page] = _read(tmp_path, "a.srt", SRT)
    assert page.text == "We run up to two thousand revs.\nBoost plus six & steady"
    assert page.stamps == ((0, 1.5), (26, 4.0), (32, 12.0))
    assert page.how == "caption"


def test_srt_without_blank_lines(tmp_path: Path) -> None:
    """A file whose blank lines were lost still parts its cues, and keeps spoken numbers."""
    text = SRT.replace("\n\n", "\n")
    [page] = _read(tmp_path, "a.srt", text)
    assert page.text == "We run up to two thousand revs.\nBoost plus six & steady"


def test_vtt(tmp_path: Path) -> None:
    """Notes, styles, identifiers and settings of WebVTT are no words."""
    [page] = _read(tmp_path, "a.vtt", VTT)
    assert page.text == "We run up to two thousand revs."
    assert page.stamps == ((0, 1.5), (13, 4.0))


def test_rolling_captions(tmp_path: Path) -> None:
    """Lines shown twice by rolling captions are read once, and how many is noted."""
    [page] = _read(tmp_path, "a.vtt", ROLLING)
    assert page.text == "so the oil is at eighty pounds"
    assert page.notes == ("4 repeated caption lines left out",)
    assert (_at(page, "oil"), _at(page, "eighty"), _at(page, "pounds")) == (1.8, 4.0, 5.01)


def test_speaker_repeating_himself_is_kept(tmp_path: Path) -> None:
    """Words said twice, with time between, stay twice."""
    text = (
        "1\n00:00:01,000 --> 00:00:02,000\nplus six\n\n2\n00:00:03,000 --> 00:00:04,000\nplus six\n"
    )
    [page] = _read(tmp_path, "a.srt", text)
    assert page.text == "plus six plus six"
    assert page.notes == ()


def test_long_talk_is_parted(tmp_path: Path) -> None:
    """A talk of an hour comes in pages of about ten minutes, nothing lost."""
    lines = [f"[{i // 6}:{i % 6}0] the gauge reads {i} now." for i in range(360)]
    pages = _read(tmp_path, "a.txt", "\n".join(lines))
    assert 5 <= len(pages) <= 7
    words = " ".join(page.text for page in pages).split()
    assert [int(w) for w in words if w.isdigit()] == list(range(360))
    for page in pages:
        assert [at for at, _ in page.stamps] == sorted({at for at, _ in page.stamps})


@pytest.mark.parametrize(
    "text", ["Start at 10:30 and climb.\nBoost +6.\n", "Ratio 3:10\nto 4:20\n"]
)
def test_clock_times_alone_make_no_captions(tmp_path: Path, text: str) -> None:
    """A typed text that happens to hold times stays text."""
    path = tmp_path / "a.txt"
    path.write_text(text)
    assert read_source(path)[0].medium == "text"


def test_stamps_on_lines_of_their_own(tmp_path: Path) -> None:
    """A transcript with each stamp above its words is one too."""
    text = "0:01\nso we open her up to\n0:04\ntwo thousand revs\n0:09\nand plus six\n"
    [page] = _read(tmp_path, "a.txt", text)
    assert page.text == "so we open her up to two thousand revs and plus six"
    assert [time for _, time in page.stamps] == [1.0, 4.0, 9.0]
