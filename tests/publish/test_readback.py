"""The readback: nothing of the original changed, every figure marked, doubt shown."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from types import ModuleType
from xml.etree import ElementTree

import pytest

from reconcile.errors import UnknownUnitError, UsageError
from reconcile.publish.readback import Readback, find_unit, mark_page, read_back
from reconcile.publish.readback_captions import captions_of, srt_text, vtt_text
from reconcile.publish.readback_text import html_text, markdown_text, tei_text, write_readback
from reconcile.publish.rows import CAUTIONS
from reconcile.publish.tei import NAMESPACE
from reconcile.records import Figure, Limit, Page, Source

TEXT = (
    "  LIMITATIONS & <notes>\n"
    "Climb          +6 lb/sq.in.    2,850 r.p.m.\n"
    "\n"
    "- Oil not under 45 lb/\n"
    "sq.in.; fuel 12–13 (*see* note_1).\n"
    "1. Speed 2?0 m.p.h.\x0c"
)
SOURCE = Source("s", "book <1>.pdf", "ab" * 32, "pdf", title="Book & notes", tradition="british")


def _figures(samples: ModuleType, text: str = TEXT) -> dict[str, Figure]:
    table = {f.id: f for f in samples.sample_witnesses()[0].figures.values()}

    def at(id: str, words: str) -> Figure:
        start = text.index(words)
        old = table[id]
        return Figure(
            id, (start, start + len(words)), words, old.quantity, old.status, old.candidates
        )

    return {
        "f01": at("f01", "+6 lb/sq.in."),
        "f02": at("f02", "2,850 r.p.m."),
        "f04": at("f04", "45 lb/\nsq.in."),
        "f08": at("f08", "12–13"),
        "f07": at("f07", "2?0 m.p.h."),
    }


LIMITS = (
    Limit("l1", "boost", "climb", "max", ("f01",)),
    Limit("l4", "oil pressure", None, "min", ("f04",)),
)


@pytest.fixture
def readback(samples: ModuleType) -> Readback:
    """A page with one figure of every sort."""
    page = Page("s", 3, TEXT, printed_number="1")
    return read_back(SOURCE, [(page, list(_figures(samples).values()), LIMITS)])


SHOWN = TEXT.replace("\x0c", "␌")


def test_html_keeps_every_character(readback: Readback) -> None:
    """The lines of the page, marks taken away, are the page's text."""
    page = html_text(readback)
    lines = re.findall(r'<div class="words">(.*?)</div>', page, re.DOTALL)
    assert html.unescape(re.sub(r"</?mark[^>]*>", "", "\n".join(lines))) == SHOWN
    marked = re.findall(r"<mark[^>]*>(.*?)</mark>", page)
    assert html.unescape("|".join(marked)) == (
        "+6 lb/sq.in.|2,850 r.p.m.|45 lb/|sq.in.|12–13|2?0 m.p.h."
    )
    assert "<notes>" not in page and "<1>" not in page
    assert "http" not in page.replace("http-equiv", "")


def test_markdown_keeps_every_character(readback: Readback) -> None:
    """Unescaped and with the marks taken away, Markdown gives the page's text back."""
    text = markdown_text(readback)
    body = text[text.index("## Page 3") :].split("\n", 2)[2].rstrip("\n")
    lines = [line.removesuffix("\\") for line in body.split("\n") if "<small>" not in line]
    plain = "\n".join(re.sub(r"</?mark>", "", line).replace("\u00a0", " ") for line in lines)
    plain = html.unescape(re.sub(r"\\([^\n])", r"\1", plain))
    assert plain == SHOWN
    assert "\n- Oil" not in text and "\n1. Speed" not in text  # no list is made of it


def test_tei_keeps_every_character_and_is_valid(
    readback: Readback, tmp_path: Path, valid_tei: Callable[[Path], list[str]]
) -> None:
    """Valid TEI; its text without the notes is the page's text."""
    write_readback(readback, tmp_path / "x.xml", "tei")
    assert valid_tei(tmp_path / "x.xml") == []
    root = ElementTree.fromstring(tei_text(readback))
    at = f"{{{NAMESPACE}}}"
    (ab,) = root.iter(f"{at}ab")
    assert sum(1 for _ in ab.iter(f"{at}note")) == 7  # five figures, two of them doubtful
    for note in list(ab.iter(f"{at}note")):
        note.text = ""
    assert "".join(ab.itertext()) == SHOWN
    first = ab.find(f"{at}measure")
    assert first is not None
    assert (first.get("unit"), first.get("quantity")) == ("[psi]", "6")


def test_equivalents_state_form_and_stay_safe(readback: Readback) -> None:
    """A maximum goes down, a minimum up, each with its reference form."""
    said = {mark.figure.id: mark for mark in readback.pages[0].marks}
    assert said["f01"].said.startswith("at most +")
    assert "142 kPa absolute" in said["f01"].said  # 142.69, down
    assert said["f04"].said.startswith("at least 311 kPa gauge")  # 310.3, up
    assert said["f02"].said.startswith("2850 ")  # a unit of today: said as it is


def test_doubt_is_shown_and_gets_no_number(readback: Readback) -> None:
    """An ambiguous figure names its readings, an unread one says so; neither is converted."""
    said = {mark.figure.id: mark for mark in readback.pages[0].marks}
    assert said["f08"].said == "not sure"
    assert "70%, a fuel pressure" in said["f08"].doubt and "gauge" in said["f08"].doubt
    assert said["f07"].said == "not read" and said["f07"].doubt
    assert said["f01"].doubt == ""
    page = html_text(readback)
    assert page.count('<li class="doubt">') == 2 and page.count('<mark class="doubt">') == 2


def test_units_are_the_readers(samples: ModuleType) -> None:
    """Chosen units are used where they fit, the usual ones where they do not."""
    page = Page("s", 1, TEXT)
    back = read_back(
        SOURCE, [(page, list(_figures(samples).values()), LIMITS)], units=("bar", "in.Hg")
    )
    said = {mark.figure.id: mark.said for mark in back.pages[0].marks}
    assert said["f01"].startswith(
        "at most +0.41 bar over the datum; +12.2 in. Hg over the datum; 1.42 bar absolute"
    )
    assert "bar" not in said["f02"]
    with pytest.raises(UnknownUnitError):
        read_back(SOURCE, [], units=("furlongs of mercury",))


@pytest.mark.parametrize(
    ("typed", "ucum"),
    [("in.Hg", "[in_i'Hg]"), ("°F", "[degF]"), ("bar", "bar"), ("kPa", "kPa"),
     ("pound-force-per-square-inch", "[psi]"), ("litre", "L")],
)  # fmt: skip
def test_units_are_found_as_typed(typed: str, ucum: str) -> None:
    """A unit may be named by code, slug, symbol or name."""
    assert find_unit(typed).ucum == ucum


def test_standing_is_said_where_it_is_known(samples: ModuleType) -> None:
    """A figure that the checks contradict says so; without checks the page says that."""
    page = Page("s", 1, TEXT)
    figures = list(_figures(samples).values())
    plain = read_back(SOURCE, [(page, figures, LIMITS)])
    assert any("nothing here says that they were proved" in r for r in plain.remarks)
    checked = read_back(
        SOURCE, [(page, figures, LIMITS)], standings={"f02": "contradicted: 2,580 in the copy"}
    )
    assert not any("nothing here says" in r for r in checked.remarks)
    assert "(contradicted: 2,580 in the copy)" in html_text(checked)


@pytest.mark.parametrize("write", [html_text, markdown_text, tei_text])
def test_cautions_stand_on_every_form(write: Callable[[Readback], str], readback: Readback) -> None:
    """Every readback carries every caution and its source's digest."""
    text = re.sub(r"\\(.)", r"\1", html.unescape(write(readback)))
    for caution in CAUTIONS:
        assert caution in text
    assert "ab" * 32 in text


def test_figures_within_figures_are_marked_once(samples: ModuleType) -> None:
    """Overlapping spans leave one mark, the outer one; spans past the end are cut or left."""
    outer = samples.figure("a", "60 to 75 lb", lo=60, hi=75, **samples.PSI)
    inner = samples.figure("b", "75 lb", 75, at=6, **samples.PSI)
    past = samples.figure("c", "far away", 1, at=500, **samples.PSI)
    back = mark_page(Page("s", 1, "60 to 75 lb"), [inner, outer, past])
    assert [(m.start, m.end) for m in back.marks] == [(0, 11)]


def test_a_picture_page_says_so() -> None:
    """A page without a text layer is not an empty page."""
    back = read_back(SOURCE, [(Page("s", 2, "", how="no text layer"), (), ())])
    for text in (html_text(back), markdown_text(back)):
        assert "This page is a picture without text" in text


# Timed transcripts

WORDS = "accumulator not less than sixty\npounds & brakes <on>\n--> now run up"


@pytest.fixture
def talk(samples: ModuleType) -> Readback:
    """Three cues; the figure runs from the first into the second."""
    start = WORDS.index("sixty")
    figure = samples.figure("h", WORDS[start : start + 12], 60, at=start, form="gauge",
                            **samples.PSI)  # fmt: skip
    second, third = WORDS.index("pounds"), WORDS.index("-->")
    page = Page("t", 1, WORDS, how="caption", stamps=((0, 2.0), (second, 65.5), (third, 3700.25)))
    source = Source("t", "talk.srt", "cd" * 32, "captions")
    return read_back(source, [(page, [figure], (Limit("l", "p", None, "min", ("h",)),))])


def test_captions_keep_words_and_times(talk: Readback) -> None:
    """Each cue begins where it did, ends where the next begins, and keeps its words."""
    cues = captions_of(talk)
    assert [(c.start, c.end) for c in cues] == [(2.0, 65.5), (65.5, 3700.25), (3700.25, 3704.25)]
    assert "\n".join(c.words for c in cues) == WORDS
    assert [len(c.marks) for c in cues] == [0, 1, 0]


def test_srt_is_well_formed(talk: Readback) -> None:
    """Numbers, times and words of SRT; equivalents in brackets; cautions in the first cue."""
    blocks = srt_text(talk).strip().split("\n\n")
    assert [b.split("\n")[0] for b in blocks] == ["1", "2", "3"]
    assert blocks[1].split("\n")[1] == "00:01:05,500 --> 01:01:40,250"
    assert "pounds & brakes <on>" in blocks[1]
    assert "[sixty pounds = " in blocks[1] and "kPa gauge" in blocks[1]
    for caution in CAUTIONS:
        assert caution in blocks[0]
    for block in blocks:
        assert block.count("-->") == 1


def test_vtt_is_well_formed(talk: Readback) -> None:
    """Header, notes, cues with a point in their times, and no arrow or tag in the words."""
    blocks = vtt_text(talk).strip().split("\n\n")
    assert blocks[0] == "WEBVTT"
    notes = [b for b in blocks if b.startswith("NOTE ")]
    assert len(notes) == 1 + len(talk.remarks) and "cd" * 32 in notes[0]
    cues = blocks[1 + len(notes) :]
    assert cues[2].split("\n")[1] == "01:01:40.250 --> 01:01:44.250"
    assert "--&gt; now run up" in cues[2] and "&lt;on&gt;" in cues[1]
    for block in cues:
        assert block.count("-->") == 1


def test_word_by_word_stamps_become_readable_cues(samples: ModuleType) -> None:
    """Stamps closer than a reader can follow are shown together; no word is lost."""
    text = "one two three four five six"
    starts = [m.start() for m in re.finditer(r"\w+", text)]
    page = Page("t", 1, text, how="caption",
                stamps=tuple((s, 0.5 * i) for i, s in enumerate(starts)))  # fmt: skip
    cues = captions_of(read_back(Source("t", "t.vtt", "00" * 32), [(page, (), ())]))
    assert [c.words for c in cues] == ["one two three", "four five six"]


def test_a_page_without_stamps_gives_no_captions(readback: Readback) -> None:
    """Captions of an untimed source are refused."""
    with pytest.raises(UsageError, match="no time stamps"):
        srt_text(readback)


def test_a_readback_is_the_same_each_time(readback: Readback, samples: ModuleType) -> None:
    """The same page gives the same bytes."""
    page = Page("s", 3, TEXT, printed_number="1")
    again = read_back(SOURCE, [(page, list(_figures(samples).values()), LIMITS)])
    for write in (html_text, markdown_text, tei_text):
        assert write(readback) == write(again)
    assert Fraction(6) == readback.pages[0].marks[0].figure.nominal
