"""The report for people, on a small table made by hand."""

from __future__ import annotations

import hashlib
import re
import subprocess
import sys
from fractions import Fraction
from html.parser import HTMLParser
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from reportlab.pdfgen.canvas import Canvas

from reconcile.measure.quantity import Quantity
from reconcile.measure.units import all_units
from reconcile.publish.page import TEMPLATES, page_html, write_page
from reconcile.publish.page_model import make_model
from reconcile.publish.page_pictures import Pictures
from reconcile.publish.page_values import (
    agree_within_rounding,
    lines_of_equivalents,
    odds_words,
)
from reconcile.publish.rows import STANDINGS, LimitTable, Row, build_table
from reconcile.records import (
    BOUNDS,
    FORMS,
    Candidate,
    Emendation,
    Figure,
    Finding,
    Limit,
    Place,
    Ruling,
    Source,
    Witness,
)

EVIL = '<script>alert("boost")</script>'


def quantity(number: str, unit: str, kind: str, form: str = "none", step: str = "1") -> Quantity:
    return Quantity(Fraction(number), None, None, None, unit, kind, form, Fraction(step))  # type: ignore[arg-type]


def boost(number: str) -> Quantity:
    return quantity(number, "[psi]", "pressure", "fixed_datum")


def make_sources(folder: Path) -> None:
    """A PDF of two pages, a typed copy and a transcript, in `folder`."""
    folder.mkdir(exist_ok=True)
    canvas = Canvas(str(folder / "handbook.pdf"), pagesize=(360, 520), invariant=1)
    canvas.setFont("Courier", 10)
    canvas.drawString(40, 420, "Take-off, 5 min.   +9 lb./sq. in.   2,800 r.p.m.")
    canvas.drawString(40, 400, "Oil pressure, normal   60 to 75 lb./sq. in.")
    canvas.showPage()
    canvas.setFont("Courier", 10)
    canvas.drawString(40, 420, "Nothing of note.")
    canvas.save()
    (folder / "copy.txt").write_text(
        f"Take-off {EVIL} boost +6 lb./sq. in.\nOil pressure 60 to 75 lb./sq. in.\n",
        encoding="utf-8",
    )
    (folder / "talk.txt").write_text("[0:05] boost plus nine\n", encoding="utf-8")


def source(folder: Path, name: str, **known: str) -> Source:
    digest = hashlib.sha256((folder / name).read_bytes()).hexdigest()
    return Source(id=digest[:12], name=name, sha256=digest, **known)  # type: ignore[arg-type]


def make_table(folder: Path) -> LimitTable:
    """Two witnesses: one limit agrees, one contradicts, one is ambiguous, one unread."""
    a = source(folder, "handbook.pdf", medium="pdf", title="Handbook", edition="First")
    b = source(folder, "copy.txt", title=f"Typed copy {EVIL}", role="transcription")
    box = (154.0, 92.0, 240.0, 102.0)
    figures_a = {
        "a1": Figure(
            "a1", (19, 32), "+9 lb./sq. in.", boost("9"), place=Place(a.id, 1, 1, (19, 32), box)
        ),
        "a2": Figure(
            "a2",
            (35, 47),
            "2,800 r.p.m.",
            quantity("2800", "{rev}/min", "rotational_speed"),
            place=Place(a.id, 1, 1, (35, 47), (262.0, 92.0, 340.0, 102.0)),
        ),
        "a3": Figure(
            "a3",
            (72, 92),
            "60 to 75 lb./sq. in.",
            Quantity(
                None, Fraction(60), Fraction(75), None, "[psi]", "pressure", "gauge", Fraction(1)
            ),
            place=Place(a.id, 1, 2, (72, 92), (178.0, 112.0, 300.0, 122.0)),
        ),
    }
    start = f"Take-off {EVIL} boost +6".index("+6")
    at = (start, start + len("+6 lb./sq. in."))
    figures_b = {
        "b1": Figure("b1", at, "+6 lb./sq. in.", boost("6"), place=Place(b.id, 1, 1, at)),
        "b3": Figure(
            "b3",
            (73, 93),
            "60 to 75 lb./sq. in.",
            figures_a["a3"].quantity,
            place=Place(b.id, 1, 2, (73, 93)),
        ),
        "b4": Figure(
            "b4",
            (0, 8),
            "1O5",
            quantity("105", "Cel", "temperature"),
            status="ambiguous",
            candidates=(
                Candidate(quantity("105", "Cel", "temperature"), 0.8, "O for 0"),
                Candidate(quantity("15", "Cel", "temperature"), 0.2, "O is a speck"),
            ),
            place=Place(b.id, 1, 1, (0, 8)),
        ),
        "b5": Figure(
            "b5",
            (0, 4),
            "??",
            Quantity(unit="Cel", kind="temperature"),
            status="unread",
            place=Place(b.id, 1, 1, (0, 4)),
        ),
    }
    limits_a = (
        Limit("A1", "boost", "take-off", "max", ("a1",), Fraction(300), notes=(EVIL,)),
        Limit("A2", "engine speed", "take-off", "max", ("a2",), Fraction(300)),
        Limit("A3", "oil pressure", "normal", "range", ("a3",)),
    )
    limits_b = (
        Limit("B1", "boost", "take-off", "max", ("b1",)),
        Limit("B3", "oil pressure", "normal", "range", ("b3",)),
        Limit("B4", "coolant temperature", "climb", "max", ("b4",)),
        Limit("B5", None, None, "max", ("b5",)),
    )
    findings = [
        Finding("witnesses", "agrees", "both read 60 to 75", ("A3", "B3"), ("a3", "b3")),
        Finding(
            "witnesses",
            "contradicts",
            f"+9 against +6 {EVIL}",
            ("A1", "B1"),
            ("a1", "b1"),
            difference_u=7.3,
            steps=("9 - 6 = 3 lb/in2",),
            emendations=(Emendation("misread_digit", figures_a["a1"], 0.9, "6 for 9"),),
        ),
    ]
    rulings = (Ruling(1, "E. Quarrell", "2024-01-01T00:00:00Z", "a2", "accept", reason=EVIL),)
    return build_table(
        f"Halverne {EVIL}",
        [Witness(a, figures_a, limits_a), Witness(b, figures_b, limits_b)],
        findings,
        rulings,
        groups={"A1": "g1", "B1": "g1", "A3": "g3", "B3": "g3"},
        copy_text=a.id,
        notes=(f"missing.pdf could not be read {EVIL}",),
    )


def boost_row(span: tuple[int, int]) -> Row:
    """A verified row of a typed source whose figure stands at `span`."""
    figure = Figure("x", span, "+9", boost("9"), place=Place("s", 1, 1, span))
    return Row(
        "x", "x", "x", True, "boost", None, "max", None, False, figure, "verified", "", (),
        Source("s", "s.txt", "0" * 64), None, (), (),
    )  # fmt: skip


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The report's text."""
    folder = tmp_path_factory.mktemp("page")
    make_sources(folder / "sources")
    table = make_table(folder / "sources")
    write_page(table, folder / "report.html", source_folder=folder / "sources")
    return (folder / "report.html").read_text(encoding="utf-8")


class Outline(HTMLParser):
    """Collects tags, ids, links and headings, and whether every tag is closed."""

    VOID = frozenset({"meta", "input", "br", "img", "link", "hr"})

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.stack: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.headings: list[int] = []
        self.unbalanced: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if re.fullmatch("h[1-6]", tag):
            self.headings.append(int(tag[1]))
        if tag not in self.VOID:
            self.stack.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if tag in self.VOID:
            return
        if not self.stack or self.stack.pop() != tag:
            self.unbalanced.append(tag)


@pytest.fixture(scope="module")
def outline(page: str) -> Outline:
    """The report's structure."""
    found = Outline()
    found.feed(page)
    return found


def test_every_tag_is_closed_in_order(outline: Outline) -> None:
    """The file is well-formed, so that no browser has to guess."""
    assert outline.unbalanced == []
    assert outline.stack == []


def test_a_source_cannot_put_markup_into_the_page(page: str, outline: Outline) -> None:
    """Script in titles, texts, notes, evidence and rulings arrives as words."""
    assert "<script>alert" not in page
    assert page.count("&lt;script&gt;alert") >= 8
    assert [tag for tag, _ in outline.tags].count("script") == 1


def test_the_page_allows_no_network_and_no_other_script(page: str, outline: Outline) -> None:
    """The policy in the head lets only the page's own script run, and nothing be fetched."""
    policy = next(a["content"] or "" for t, a in outline.tags if a.get("http-equiv"))
    assert "default-src 'none'" in policy
    script = re.search(r"<script>(.*?)</script>", page, re.S)
    assert script is not None
    from base64 import b64encode

    digest = b64encode(hashlib.sha256(script[1].encode()).digest()).decode()
    assert f"'sha256-{digest}'" in policy
    for tag, attributes in outline.tags:
        for name in ("src", "href", "action"):
            assert not re.match("(?i)https?:|//", attributes.get(name) or ""), (tag, attributes)
    assert not re.search(r"url\((?!data:)", page)


def test_headings_go_down_one_level_at_a_time(outline: Outline) -> None:
    """A reader who goes by headings finds one h1 and no level skipped."""
    assert outline.headings.count(1) == 1
    for above, below in zip(outline.headings, outline.headings[1:]):
        assert below <= above + 1


def test_every_link_inside_the_page_leads_somewhere(outline: Outline) -> None:
    """No link, label or region name points at an id that is not there, and ids are unique."""
    ids = [a["id"] for _, a in outline.tags if a.get("id")]
    assert len(ids) == len(set(ids))
    for _, attributes in outline.tags:
        href = attributes.get("href") or ""
        if href.startswith("#"):
            assert href[1:] in ids
        for name in ("for", "aria-labelledby"):
            for one in (attributes.get(name) or "").split():
                assert one in ids


def test_language_skip_link_and_alternative_texts(outline: Outline) -> None:
    """The page names its language, can be skipped into, and describes every picture."""
    assert outline.tags[0][0] == "html" and outline.tags[0][1]["lang"] == "en-GB"
    first_link = next(a for t, a in outline.tags if t == "a")
    assert first_link["href"] == "#limits"
    crops = [a for _, a in outline.tags if "crop" in (a.get("class") or "").split()]
    assert len(crops) == 3
    assert all((a.get("aria-label") or "").startswith("Crop of handbook.pdf") for a in crops)


def test_verified_and_others_stand_in_their_own_sections(page: str) -> None:
    """A row that is not verified never stands among the verified ones as an entry."""
    verified, others = page.split('<h2 id="unverified">')
    verified = verified.split('<h2 id="verified">')[1]
    assert set(re.findall(r'data-standing="([^"]+)"', verified)) == {"verified"}
    others = others.split('<h2 id="findings">')[0]
    assert set(re.findall(r'data-standing="([^"]+)"', others)) == {"contradicted", "in doubt"}


def test_every_row_is_on_the_page(page: str, tmp_path: Path) -> None:
    """No row is dropped: each has its place, lead or witness."""
    make_sources(tmp_path)
    for row in make_table(tmp_path).rows:
        assert f'id="r-{row.id}"' in page


def test_what_a_reader_needs_of_a_limit_is_said(page: str) -> None:
    """Words as printed, place, meaning, SI, equivalents, evidence, emendation and budget."""
    entry = page.split('id="r-a1"')[1].split("</article>")[0]
    for words in (
        "+9 lb./sq. in.",
        "page 1, line 1",
        "At most +9 lb/in², over the datum (standard sea level",
        "for no longer than 5 min",
        "in. Hg",
        "absolute",
        "rounded down",
        "contradicts",
        "misread digit",
        "Last printed place",
        "Standard uncertainty, as absolute pressure",
    ):
        assert words in entry, words


def test_no_pressure_stands_without_its_form(page: str) -> None:
    """Readings of the witnesses and proposals name what a pressure is counted from."""
    entry = page.split('id="r-a1"')[1].split("</article>")[0]
    cells = re.findall(r'data-h="(?:Read as|SI)">([^<]*)<', entry)
    assert len(cells) >= 4
    assert all(cell.endswith("over the datum") for cell in cells), cells
    proposals = re.findall(r"<li>([^<]*lb/in²[^<]*—[^<]*)</li>", page)
    assert proposals
    forms = ("over the datum", "gauge", "absolute", "below ambient", "differential")
    assert all(any(form in words for form in forms) for words in proposals), proposals


def test_symbols_keep_their_capitals(page: str) -> None:
    """The pascal stays a pascal where a sentence begins with what it is part of."""
    assert " Pa" in page and " pa " not in page and " pa)" not in page


def test_a_figure_that_may_be_another_gets_no_equivalent(page: str) -> None:
    """An ambiguous figure shows its candidates instead of numbers that could be set."""
    entry = page.split('id="r-b4"')[1].split("</article>")[0]
    assert "In modern units" not in entry
    assert "15 °C" in entry and "20\u202f%" in entry


def test_typed_sources_show_the_figure_marked_in_its_line(page: str) -> None:
    """A source without page pictures shows its words with the figure marked."""
    assert "<mark>+6 lb./sq. in.</mark>" in page


def test_cautions_and_digests_are_there(page: str, tmp_path: Path) -> None:
    """The cautions and the digest of every source stand on the report."""
    make_sources(tmp_path)
    table = make_table(tmp_path)
    for caution in table.cautions:
        assert caution.replace("'", "&#39;") in page
    for one in table.sources:
        assert one.sha256 in page


def test_missing_sources_cost_their_crops_only(tmp_path: Path) -> None:
    """A report is still written where the sources are gone, and says what is missing."""
    make_sources(tmp_path / "sources")
    table = make_table(tmp_path / "sources")
    write_page(table, tmp_path / "report.html", source_folder=tmp_path / "nowhere")
    text = (tmp_path / "report.html").read_text(encoding="utf-8")
    assert "No place can be shown from handbook.pdf" in text
    assert 'class="crop' not in text


def test_two_processes_write_the_same_bytes(tmp_path: Path) -> None:
    """Another hash seed and another time zone change nothing."""
    make_sources(tmp_path / "sources")
    script = (
        "import importlib.util, sys\nfrom pathlib import Path\n"
        "spec = importlib.util.spec_from_file_location('t', sys.argv[1])\n"
        "t = importlib.util.module_from_spec(spec); spec.loader.exec_module(t)\n"
        "folder = Path(sys.argv[2])\n"
        "t.write_page(t.make_table(folder / 'sources'), Path(sys.argv[3]),"
        " source_folder=folder / 'sources')\n"
    )
    digests = []
    for seed, zone in (("1", "UTC"), ("2", "Pacific/Auckland")):
        out = tmp_path / f"{seed}.html"
        subprocess.run(
            [sys.executable, "-c", script, __file__, str(tmp_path), str(out)],
            env={"PYTHONHASHSEED": seed, "TZ": zone, "PATH": ""},
            cwd=Path(__file__).parents[2],
            check=True,
        )
        digests.append(hashlib.sha256(out.read_bytes()).hexdigest())
    assert digests[0] == digests[1]


def _luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_text_stands_out_from_its_ground() -> None:
    """Every ink on every ground reaches the contrast 4.5 (WCAG 2.1, 1.4.3)."""
    style = (TEMPLATES / "page.css").read_text(encoding="utf-8")
    colours = dict(re.findall(r"--([a-z-]+):\s*(#[0-9a-f]{6})", style))
    for ink in ("ink", "faint", "link", "sound", "open", "doubt", "wrong"):
        for ground in ("paper", "leaf"):
            a, b = _luminance(colours[ink]), _luminance(colours[ground])
            assert (max(a, b) + 0.05) / (min(a, b) + 0.05) >= 4.5, (ink, ground)
    a, b = _luminance(colours["ink"]), _luminance(colours["mark"])
    assert (max(a, b) + 0.05) / (min(a, b) + 0.05) >= 4.5


_NUMBERS = st.fractions(min_value=-4000, max_value=4000, max_denominator=100)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_no_figure_breaks_the_page(data: st.DataObject) -> None:
    """Whatever unit, form, bound, range or tolerance a figure has, read or not, the report
    is written, and names the row."""
    rows = []
    for n in range(data.draw(st.integers(0, 6))):
        unit = data.draw(st.sampled_from(all_units()))
        form = data.draw(st.sampled_from(FORMS)) if unit.si_unit == "Pa" else "none"
        shape = data.draw(st.sampled_from(["single", "range", "tolerance", "up", "down", "none"]))
        a, b = sorted((data.draw(_NUMBERS), data.draw(_NUMBERS)))
        numbers = {
            "single": (a, None, None, None),
            "range": (None, a, b, None),
            "tolerance": (b, None, None, abs(a)),
            "up": (None, a, None, None),
            "down": (None, None, b, None),
            "none": (None, None, None, None),
        }[shape]
        step = data.draw(st.none() | st.sampled_from([Fraction(1), Fraction(1, 8), Fraction(50)]))
        q = Quantity(
            *numbers,
            unit.ucum or "1",
            unit.kind,
            form,
            step,
            unit_slug=unit.slug,  # type: ignore[arg-type]
        )
        status = data.draw(st.sampled_from(["read", "ambiguous"])) if q.is_read else "unread"
        figure = Figure(f"f{n}", (0, 1), EVIL, q, status)  # type: ignore[arg-type]
        row = Row(
            f"f{n}", f"l{n}", f"g{n % 3}", data.draw(st.booleans()),
            data.draw(st.sampled_from(["boost", "oil pressure", "airspeed", None])),
            data.draw(st.sampled_from(["take-off", None])),
            data.draw(st.sampled_from(BOUNDS)), None, False, figure,
            data.draw(st.sampled_from(STANDINGS)), "because", (),
            Source("s", "s.txt", "0" * 64), None, (), (),
        )  # fmt: skip
        rows.append(row)
    table = LimitTable("Any", tuple(rows), (Source("s", "s.txt", "0" * 64),), ())
    text = page_html(make_model(table), Pictures())
    assert "<script>alert" not in text
    for row in rows:
        assert f'id="r-{row.id}"' in text


def test_the_apparatus_lists_what_rounding_cannot_explain() -> None:
    """5.2 in. and 132 mm are one reading; 52 in., and the same number from another zero, are
    not, nor is a figure that was not read."""
    bore = quantity("5.2", "[in_i]", "length", step="1/10")
    assert agree_within_rounding(bore, quantity("132", "mm", "length"))
    assert not agree_within_rounding(bore, quantity("52", "[in_i]", "length"))
    assert not agree_within_rounding(bore, Quantity(unit="mm", kind="length"))
    gauge = quantity("6", "[psi]", "pressure", "gauge")
    assert not agree_within_rounding(boost("6"), gauge)


def test_odds_never_claim_certainty() -> None:
    """Neither nought nor a hundred per cent is printed."""
    assert [odds_words(x) for x in (0.0, 0.004, 0.5, 0.996, 1.0)] == [
        "under 1\u202f%", "under 1\u202f%", "50\u202f%", "over 99\u202f%", "over 99\u202f%",
    ]  # fmt: skip


_PRINTED = st.one_of(
    st.integers(-400000, 400000).map(lambda n: Fraction(n, 100)),
    st.integers(-4000, 4000).map(lambda n: Fraction(n, 8)),
)


def _number(text: str) -> Fraction:
    return Fraction(text.replace("\u202f", "").replace("−", "-").replace("+", ""))


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_no_number_on_the_page_is_rounded_to_the_unsafe_side(data: st.DataObject) -> None:
    """Over all units and forms: SI and every equivalent shown of a maximum is never above the
    exact one, of a minimum never below, of a range never outside.

    Read back from the words of the page, and compared with the unit rows' exact factors.
    """
    unit = data.draw(st.sampled_from([u for u in all_units() if u.scale == "linear" and u.ucum]))
    bound = data.draw(st.sampled_from(["max", "min", "range"]))
    a, b = sorted(data.draw(st.lists(_PRINTED, min_size=2, max_size=2, unique=True)))
    form = data.draw(st.sampled_from(["absolute", "gauge", "fixed_datum"]))
    form = form if unit.si_unit == "Pa" else "none"
    ends = (None, a, b) if bound == "range" else (a, None, None)
    step = data.draw(st.sampled_from([Fraction(1), Fraction(1, 10), Fraction(5)]))
    q = Quantity(*ends, None, unit.ucum, unit.kind, form, step, unit_slug=unit.slug)  # type: ignore[arg-type]
    figure = Figure("f", (0, 1), "x", q)
    row = Row("f", "l", "g", True, "p", None, bound, None, False, figure, "verified", "", (),
              Source("s", "s", ""), None, (), ())  # fmt: skip
    true = sorted(x for x in q.exact_si() if x is not None)
    # Today's definition of each symbol: period ones (an inch of 1893) share it.
    symbols = {
        u.symbol: u
        for u in all_units()
        if u.si_unit == unit.si_unit and u.symbol and not u.of and u.ucum
    }
    for line in lines_of_equivalents(row):
        numbers = [_number(text) for text in line.value.split(" to ")]
        there = symbols.get(line.unit)
        shown = numbers
        if not line.is_si:
            if there is None or there.scale != "linear":
                continue
            shown = [there.factor * n + there.offset for n in numbers]
            if form == "fixed_datum" and line.form == "absolute":
                shown = [s - 101325 for s in shown]
        if bound == "max":
            assert shown[0] <= true[0], line
        elif bound == "min":
            assert shown[0] >= true[0], line
        else:
            assert true[0] <= shown[0] and shown[-1] <= true[-1], line
