"""PDF pages: words, boxes, layout, ruled and unruled tables, streaming."""

from __future__ import annotations

import tracemalloc
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pdfplumber
import pypdf
import pytest

from reconcile.errors import DamagedSourceError, EncryptedSourceError, NoTextLayerError
from reconcile.notation.grid import find_grids
from reconcile.records import Page
from reconcile.sources import read_source
from reconcile.sources.pdf import is_garbled
from reconcile.sources.pdf_frame import PdfWord
from reconcile.sources.pdf_glyphs import solid
from reconcile.sources.pdf_layout import lay_out_page

MakePdf = Callable[..., Path]


def read_pages(path: Path) -> list[Page]:
    """All pages of a source."""
    return list(read_source(path)[1])


def grid_rows(text: str) -> list[tuple[str, ...]]:
    """Cells of the one grid of a page as (row label, column heading, cell)."""
    [grid] = find_grids(text)
    return [
        (text[slice(*c.row[-1])], text[slice(*c.column[-1])], text[slice(*c.span)])
        for c in grid.cells
    ]


def expected_cells(rows: tuple[tuple[str, ...], ...]) -> list[tuple[str, ...]]:
    """The same from the rows that were printed; a dash is no cell."""
    head = rows[0]
    return [
        (row[0], head[i], row[i]) for row in rows[1:] for i in range(1, len(row)) if row[i] != "-"
    ]


def test_words_agree_with_pdfplumber(make_pdf: MakePdf, draw: SimpleNamespace) -> None:
    """pdfium and pdfplumber find the same words at the same places, on each kind of page."""
    path = make_pdf(draw.prose, draw.unruled, draw.ruled)
    ours = read_pages(path)
    with pdfplumber.open(path) as pdf:
        theirs = [page.extract_words() for page in pdf.pages]
    for page, words in zip(ours, theirs):
        mine = sorted((page.text[w.start : w.end], w.box) for w in page.words)
        their = sorted((w["text"], (w["x0"], w["top"], w["x1"], w["bottom"])) for w in words)
        assert [text for text, _ in mine] == [text for text, _ in their]
        for (_, a), (_, b) in zip(mine, their):
            assert a[0] == pytest.approx(b[0], abs=0.6)
            assert a[2] == pytest.approx(b[2], abs=0.6)
            assert a[1] == pytest.approx(b[1], abs=2.5)  # pdfium's box is as tall as the font
            assert a[3] == pytest.approx(b[3], abs=2.5)


def test_every_word_stands_at_its_offsets(make_pdf: MakePdf, draw: SimpleNamespace) -> None:
    """Words' spans ascend, cover all of the text but its blanks and bars, and have boxes."""
    for page in read_pages(make_pdf(draw.prose, draw.unruled, draw.ruled)):
        bare = list(page.text)
        last = 0
        for word in page.words:
            assert last <= word.start < word.end
            last = word.end
            assert word.box[0] < word.box[2] <= page.width
            assert word.box[1] < word.box[3] <= page.height
            bare[word.start : word.end] = " " * (word.end - word.start)
        assert set("".join(bare)) <= set(" \n|")


def test_prose_keeps_single_blanks(make_pdf: MakePdf, draw: SimpleNamespace) -> None:
    """Running text comes back line by line as it was set, and holds no table."""
    [page] = read_pages(make_pdf(draw.prose))
    assert page.text.split("\n")[1] == (
        "exceed +6 lb./sq.in. for more than 5 minutes. Oil pressure is 80 lb./sq.in.,"
    )
    assert find_grids(page.text) == []
    assert page.how == "text layer"


@pytest.mark.parametrize("right", [False, True])
def test_unruled_table_keeps_its_columns(
    make_pdf: MakePdf, draw: SimpleNamespace, right: bool
) -> None:
    """Columns set by space alone, flush left or right, can be read as a grid again."""
    [page] = read_pages(make_pdf(lambda paper: draw.unruled(paper, right=right)))
    assert grid_rows(page.text) == expected_cells(draw.rows)


def test_ruled_table_has_bars(make_pdf: MakePdf, draw: SimpleNamespace) -> None:
    """Cells of a ruled table are held apart by bars, the words around it are kept."""
    [page] = read_pages(make_pdf(draw.ruled))
    assert [c.strip() for c in page.text.split("\n")[3].split("|")] == list(draw.rows[1])
    assert grid_rows(page.text) == expected_cells(draw.rows)
    assert page.text.startswith("The limits are these.\n")
    assert page.text.endswith("Below the table the text goes on with 60 lb./sq.in.")


def test_ruled_table_without_rules_between_rows(make_pdf: MakePdf) -> None:
    """Figures under each other in one ruled box are rows, not one long cell."""

    def page_of(paper: Any) -> None:
        paper.grid([36, 160, 230, 300], [540, 520, 470])
        for n, row in enumerate(
            [("Rating", "R.p.m.", "Boost"), ("Climb", "2,850", "+9"), ("Cruise", "2,650", "+7"),
             ("Weak", "2,650", "+4")]
        ):  # fmt: skip
            for x, cell in zip((40, 164, 234), row):
                paper.drawString(x, 525 - 16 * n, cell)

    [page] = read_pages(make_pdf(page_of))
    assert grid_rows(page.text)[-2:] == [("Weak", "R.p.m.", "2,650"), ("Weak", "Boost", "+4")]


def test_open_sided_table(make_pdf: MakePdf) -> None:
    """A table with rules between its columns but none at its outer sides keeps them all."""

    def page_of(paper: Any) -> None:
        for y in (540, 522, 504, 486):
            paper.line(36, y, 300, y)
        for x in (160, 230):
            paper.line(x, 540, x, 486)
        for n, row in enumerate(
            [("Rating", "R.p.m.", "Boost"), ("Climb", "2,850", "+9"), ("Cruise", "2,650", "+7")]
        ):
            for x, cell in zip((40, 164, 234), row):
                paper.drawString(x, 527 - 18 * n, cell)

    [page] = read_pages(make_pdf(page_of))
    assert grid_rows(page.text) == [
        ("Climb", "R.p.m.", "2,850"), ("Climb", "Boost", "+9"),
        ("Cruise", "R.p.m.", "2,650"), ("Cruise", "Boost", "+7"),
    ]  # fmt: skip


def test_raised_type_is_not_glued_to_numbers(make_pdf: MakePdf) -> None:
    """A small fraction, a raised note number and an exponent never become digits of a number."""
    lines = (
        ("suction 4", "1/2", " in."), ("r.p.m. 3,000", "1", ""), ("r.p.m. 3,000", "1", ", then"),
        ("kg/cm", "2", ") here"), ("boost +12", "*", ""), ("at 125", "o", "C. and"),
        ("at 125", "0", "F."), ("bank 45", "0", ""), ("at 80", " 2", ""),
    )  # fmt: skip

    def page_of(paper: Any) -> None:
        for n, (whole, small, after) in enumerate(lines):
            paper.setFont("Times-Roman", 10)
            paper.drawString(40, 540 - 20 * n, whole)
            x = 40 + paper.stringWidth(whole)
            paper.setFont("Times-Roman", 6)
            paper.drawString(x, 543.5 - 20 * n, small)
            x += paper.stringWidth(small)
            paper.setFont("Times-Roman", 10)
            paper.drawString(x, 540 - 20 * n, after)

    [page] = read_pages(make_pdf(page_of))
    assert [" ".join(line.split()) for line in page.text.split("\n") if line] == [
        "suction 4 1/2 in.", "r.p.m. 3,000¹", "r.p.m. 3,000¹, then", "kg/cm²) here", "boost +12*",
        "at 125°C. and", "at 125°F.", "bank 45°", "at 80 ²",
    ]  # fmt: skip


def test_stacked_fraction_and_double_print() -> None:
    """Numerator over denominator is read as one fraction; a word printed twice counts once."""
    words = [
        PdfWord("4", 40, 40, 45, 51), PdfWord("1", 46, 39, 49, 45), PdfWord("2", 46, 45, 49, 51),
        PdfWord("in.", 53, 40, 63, 51), PdfWord("in.", 53.2, 40, 63.2, 51),
    ]  # fmt: skip
    assert lay_out_page(words)[0] == "4 1/2 in."


def test_turned_and_cropped_page(make_pdf: MakePdf, draw: SimpleNamespace, tmp_path: Path) -> None:
    """Boxes are those of the page as shown: turned, and counted from the crop's corner."""
    plain = make_pdf(draw.prose)
    writer = pypdf.PdfWriter(clone_from=plain)
    writer.pages[0].rotate(90)
    writer.pages[0].cropbox = pypdf.generic.RectangleObject((20, 10, 420, 580))
    turned = tmp_path / "turned.pdf"
    writer.write(turned)
    with pdfplumber.open(turned) as pdf:
        theirs = pdf.pages[0].bbox
    [page] = read_pages(turned)
    assert (page.width, page.height) == (570, 400)
    assert theirs[2] - theirs[0] > 0
    box = {page.text[w.start : w.end]: w.box for w in page.words}["2,850"]
    [straight] = read_pages(plain)
    x0, top, x1, bottom = {straight.text[w.start : w.end]: w.box for w in straight.words}["2,850"]
    # A quarter turn clockwise: down the old page is leftwards on the new one.
    low, high = 595 - bottom - 10, 595 - top - 10
    assert box == pytest.approx((low, x0 - 20, high, x1 - 20), abs=0.1)


def test_page_number_is_known(make_pdf: MakePdf, draw: SimpleNamespace) -> None:
    """A number alone at the foot is the printed page number."""

    def page_of(paper: Any) -> None:
        draw.prose(paper)
        paper.drawCentredString(210, 30, "- 17 -")

    [page] = read_pages(make_pdf(page_of))
    assert page.printed_number == "17"


def test_picture_pages_are_reported(make_pdf: MakePdf, draw: SimpleNamespace) -> None:
    """A page without text among others is kept, empty, and says why."""
    path = make_pdf(draw.prose, lambda paper: paper.rect(10, 10, 100, 100, fill=1))
    first, second = read_pages(path)
    assert (second.number, second.text, second.how) == (2, "", "no text layer")
    assert first.text
    with pytest.raises(NoTextLayerError, match="has no text layer; run an OCR engine"):
        read_source(make_pdf(lambda paper: paper.rect(1, 1, 9, 9), name="scan.pdf"))


def test_locked_file(make_pdf: MakePdf, draw: SimpleNamespace, tmp_path: Path) -> None:
    """A file that needs a password is refused in one sentence."""
    writer = pypdf.PdfWriter(clone_from=make_pdf(draw.prose))
    writer.encrypt("secret", algorithm="RC4-128")
    path = tmp_path / "locked.pdf"
    writer.write(path)
    with pytest.raises(EncryptedSourceError) as caught:
        read_source(path)
    assert str(caught.value) == (
        "locked.pdf: is locked with a password; save an unlocked copy and read that."
    )


@pytest.mark.parametrize("keep", [0.02, 0.3, 0.6, 0.9, 0.99])
def test_truncated_file(make_pdf: MakePdf, draw: SimpleNamespace, keep: float) -> None:
    """A file cut anywhere is refused, never read in part."""
    path = make_pdf(*[draw.prose] * 3)
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * keep)])
    with pytest.raises(DamagedSourceError, match="end of the file is missing"):
        read_source(path)


def test_hyphen_at_a_line_end_is_kept(make_pdf: MakePdf) -> None:
    """A dash that ends a line may be a range sign; pdfium's mark for it is set back."""

    def page_of(paper: Any) -> None:
        paper.drawString(40, 540, "The pressure is normally 80-")
        paper.drawString(40, 527, "100 lb./sq.in. and the carbu-")
        paper.drawString(40, 514, "rettor is cold.")

    [page] = read_pages(make_pdf(page_of))
    assert page.text.split("\n")[:2] == [
        "The pressure is normally 80-", "100 lb./sq.in. and the carbu-"
    ]  # fmt: skip


def test_memory_does_not_grow_with_pages(make_pdf: MakePdf, draw: SimpleNamespace) -> None:
    """Pages are let go: forty more pages, ruled ones among them, add next to nothing."""
    path = make_pdf(*[draw.prose, draw.unruled, draw.ruled] * 20)
    _, pages = read_source(path)
    tracemalloc.start()
    try:
        for page in pages:
            if page.number == 20:
                before = tracemalloc.get_traced_memory()[0]
        after = tracemalloc.get_traced_memory()[0]
    finally:
        tracemalloc.stop()
    assert after - before < 400_000


def test_pages_can_be_abandoned(make_pdf: MakePdf, draw: SimpleNamespace) -> None:
    """Closing the stream early lets the file go."""
    path = make_pdf(draw.ruled, draw.prose)
    _, pages = read_source(path)
    next(pages)
    pages.close()  # type: ignore[attr-defined]
    path.unlink()


LEFT = [f"left line {n:02d} of running words that" for n in range(16)]
RIGHT = [f"right line {n:02d} goes on with others" for n in range(16)]


def test_two_columns_are_read_one_after_the_other(make_pdf: MakePdf) -> None:
    """Sentences of a page in two columns are not torn across the white between them."""

    def page_of(paper: Any) -> None:
        paper.drawString(40, 560, "A heading that goes over the whole width of this page, and more")
        for n, (left, right) in enumerate(zip(LEFT, RIGHT)):
            paper.drawString(40, 540 - 13 * n, left)
            paper.drawString(230, 541 - 13 * n, right)
        paper.drawString(40, 300, "A line at the foot that goes over the whole width of it again")

    [page] = read_pages(make_pdf(page_of))
    lines = [line for line in page.text.split("\n") if line.strip()]
    assert lines[1:-1] == LEFT + RIGHT
    assert [w.start for w in page.words] == sorted(w.start for w in page.words)
    assert lines[0].startswith("A heading") and lines[-1].startswith("A line at the foot")


def test_long_table_is_not_taken_for_two_columns(make_pdf: MakePdf) -> None:
    """A long table of labels and figures stays a table."""

    def page_of(paper: Any) -> None:
        for n in range(20):
            paper.drawString(40, 540 - 13 * n, f"Pressure of the system numbered {n}")
            paper.drawString(240, 540 - 13 * n, f"{60 + n} lb./sq.in. on the gauge")

    [page] = read_pages(make_pdf(page_of))
    [grid] = find_grids(page.text)
    assert len(grid.cells) == 20


def test_line_driven_out_is_running_text(make_pdf: MakePdf) -> None:
    """Even gaps that only fill the measure hold no columns apart."""
    words = ["gallons", "show", "1.20", "times", "the", "Imperial", "figure", "on", "each"]

    def page_of(paper: Any) -> None:
        paper.drawString(
            40, 540, "Fuel meters of American make that are graduated in U.S. measure,"
        )
        end = 40 + paper.stringWidth(
            "Fuel meters of American make that are graduated in U.S. measure,"
        )
        free = end - 40 - sum(paper.stringWidth(word) for word in words)
        x = 40.0
        for word in words:
            paper.drawString(x, 527, word)
            x += paper.stringWidth(word) + free / (len(words) - 1)

    [page] = read_pages(make_pdf(page_of))
    assert page.text.split("\n")[1] == " ".join(words)


def test_unseen_text_layer_is_noted(make_pdf: MakePdf, draw: SimpleNamespace) -> None:
    """A text layer drawn invisibly was made by an engine, and may hold its misreadings."""

    def page_of(paper: Any) -> None:
        words = paper.beginText(40, 540)
        words.setTextRenderMode(3)
        words.textLine("The boost must not exceed +6 lb./sq.in.")
        paper.drawText(words)

    hidden, plain = read_pages(make_pdf(page_of, draw.prose))
    assert hidden.text == "The boost must not exceed +6 lb./sq.in."
    assert hidden.notes == ("the text layer lies unseen over a picture: an OCR engine made it",)
    assert plain.notes == ()


def test_garbled_text_layer_is_known() -> None:
    """Letters without a known meaning are counted, blanks are not."""
    assert is_garbled("\ue012\ue013 2,850 r.p.m.")
    assert not is_garbled("Open to 2,850 r.p.m. and +6 lb. \ue001")
    assert not is_garbled("")


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_boxes_on_turned_pages(
    make_pdf: MakePdf, draw: SimpleNamespace, tmp_path: Path, turn: int
) -> None:
    """A turned page's boxes are the straight page's boxes turned with it."""
    plain = make_pdf(draw.prose)
    writer = pypdf.PdfWriter(clone_from=plain)
    writer.pages[0].rotate(turn)
    path = tmp_path / "turned.pdf"
    writer.write(path)
    [straight], [turned] = read_pages(plain), read_pages(path)
    wide, tall = straight.width, straight.height

    def boxes(page: Page) -> dict[str, tuple[float, ...]]:
        return {page.text[w.start : w.end]: w.box for w in page.words}

    new = boxes(turned)
    for text, (x0, top, x1, bottom) in boxes(straight).items():
        if text not in ("2,850", "r.p.m.", "125°C."):
            continue
        expected = {
            90: (tall - bottom, x0, tall - top, x1),
            180: (wide - x1, tall - bottom, wide - x0, tall - top),
            270: (top, wide - x1, bottom, wide - x0),
        }[turn]
        assert new[text] == pytest.approx(expected, abs=0.1)


def test_ligatures_and_odd_blanks_are_made_plain(make_pdf: MakePdf) -> None:
    """Joined letters come apart, and a blank that does not break is a blank."""
    from reconcile.sources.pdf_glyphs import plain_letters

    assert plain_letters("oﬀ-eﬃciency ﬁne") == "off-efficiency fine"
    assert plain_letters("80\u0002") == "80-"

    def page_of(paper: Any) -> None:
        paper.drawString(40, 540, "Pressure\xa080\xa0lb. and boost")

    [page] = read_pages(make_pdf(page_of))
    assert page.text == "Pressure 80 lb. and boost"


def test_characters_beyond_the_basic_plane(make_pdf: MakePdf, tmp_path: Path) -> None:
    """A character that takes two code units does not shift the boxes of the words after it."""
    import matplotlib
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    font = Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "DejaVuSans.ttf"
    pdfmetrics.registerFont(TTFont("Wide", str(font)))

    def page_of(paper: Any) -> None:
        paper.setFont("Wide", 10)
        paper.drawString(40, 540, "note \U0001d538 then 2,850 r.p.m.")
        paper.drawString(40, 520, "note A then 2,850 r.p.m.")

    [page] = read_pages(make_pdf(page_of))
    found = [w.box for w in page.words if page.text[w.start : w.end] == "2,850"]
    assert len(found) == 2
    assert found[0][0] == pytest.approx(found[1][0], abs=4)


def test_sideways_table_is_read_upright(make_pdf: MakePdf, draw: SimpleNamespace) -> None:
    """A table set sideways is read as it stands; its boxes stay those of the page as shown."""

    def page_of(paper: Any) -> None:
        paper.translate(420, 0)
        paper.rotate(90)
        draw.ruled(paper)

    [page] = read_pages(make_pdf(page_of, size=(600, 420)))
    assert grid_rows(page.text) == expected_cells(draw.rows)
    box = next(w.box for w in page.words if page.text[w.start : w.end] == "3,000")
    assert box[3] - box[1] > 1.5 * (box[2] - box[0])


def test_words_set_sideways_beside_the_text(make_pdf: MakePdf, draw: SimpleNamespace) -> None:
    """A note up the margin is kept, after the text, and tears none of its lines."""

    def page_of(paper: Any) -> None:
        draw.prose(paper)
        paper.translate(20, 300)
        paper.rotate(90)
        paper.drawString(0, 0, "A.L. 2: 90 lb./sq.in.")

    plain, noted = read_pages(make_pdf(draw.prose, page_of))
    assert noted.text == plain.text + "\n\nA.L. 2: 90 lb./sq.in."
    last = noted.words[-1]
    assert noted.text[last.start : last.end] == "lb./sq.in."
    assert last.box[2] < 25


def test_one_bad_page_does_not_cost_the_others(
    make_pdf: MakePdf, draw: SimpleNamespace, tmp_path: Path
) -> None:
    """A bad page is kept, empty and noted; where all are bad the file is refused."""
    path = make_pdf(draw.prose, draw.ruled, draw.prose)

    def spoil(*numbers: int) -> Path:
        writer = pypdf.PdfWriter(clone_from=path)
        for number in numbers:
            writer.pages[number][pypdf.generic.NameObject("/Type")] = pypdf.generic.NameObject(
                "/No"
            )
        out = tmp_path / "spoilt.pdf"
        writer.write(out)
        return out

    pages = read_pages(spoil(1))
    assert [bool(page.text) for page in pages] == [True, False, True]
    assert (pages[1].how, pages[1].notes) == (
        "unreadable", ("the page is damaged; nothing was read from it",)
    )  # fmt: skip
    with pytest.raises(DamagedSourceError, match="is damaged"):
        read_source(spoil(0, 1, 2))


def test_file_locked_against_changes_only_is_read(
    make_pdf: MakePdf, draw: SimpleNamespace, tmp_path: Path
) -> None:
    """A file that opens without a password is read, whatever it forbids its editors."""
    writer = pypdf.PdfWriter(clone_from=make_pdf(draw.prose))
    writer.encrypt("", "owner", algorithm="RC4-128")
    path = tmp_path / "owned.pdf"
    writer.write(path)
    assert "2,850 r.p.m." in read_pages(path)[0].text


def test_type_without_height_is_given_some() -> None:
    """Fonts that state no height do not set every word on a line of its own."""
    assert solid((10.0, 50.0, 15.0, 61.0)) == (10.0, 50.0, 15.0, 61.0)
    words = [
        PdfWord(text, *solid((x, 50.0 + dy, x + 20, 50.0 + dy)))
        for text, x, dy in (("boost", 10, 0), ("+6", 40, 0.1), ("lb.", 65, 0))
    ]
    assert lay_out_page(words)[0].split() == ["boost", "+6", "lb."]
    assert "\n" not in lay_out_page(words)[0]


def test_labels_and_worded_limits_are_not_two_columns(make_pdf: MakePdf) -> None:
    """Labels of all lengths beside limits in words stay on their lines."""
    labels = (
        "Oil pressure", "Oil temperature at the inlet", "Coolant", "Suction of the gyros",
        "Fuel pressure at the carburettor", "Brakes", "Main hydraulic accumulator",
    )  # fmt: skip

    def page_of(paper: Any) -> None:
        for n in range(21):
            paper.drawString(40, 560 - 13 * n, labels[n % 7])
            paper.drawString(230, 560 - 13 * n, f"not less than {60 + n} lb./sq.in. in flight")

    [page] = read_pages(make_pdf(page_of))
    assert page.text.split("\n")[1].split("  ")[0] == labels[1]
    assert "not less than 61" in page.text.split("\n")[1]


def test_typographic_figures(tmp_path: Path) -> None:
    """Raised and fraction figures that a font draws itself are seen by where their ink is."""
    typst = pytest.importorskip("typst")
    source = tmp_path / "a.typ"
    source.write_text(
        "#set page(width: 148mm, height: 100mm)\n"
        "area 12 in#super[2], note 3,000#super[1], at 125#super[o]C. Offices.\n\n"
        "Mathematical $p$ and 2,850 r.p.m.\n",
        encoding="utf-8",
    )
    path = tmp_path / "a.pdf"
    path.write_bytes(typst.compile(str(source)))
    [page] = read_pages(path)
    assert [line for line in page.text.split("\n") if line] == [
        "area 12 in², note 3,000¹, at 125°C. Offices.", "Mathematical p and 2,850 r.p.m."
    ]  # fmt: skip


def test_word_broken_between_columns(make_pdf: MakePdf) -> None:
    """A word that the text layer runs on from one column's foot to the next one's head is cut."""
    from reconcile.sources.pdf_glyphs import Chars, read_carefully

    boxes = {
        0: (100.0, 500.0, 105.0, 511.0), 1: (105.0, 500.0, 110.0, 511.0),
        2: (230.0, 50.0, 235.0, 61.0), 3: (235.0, 50.0, 240.0, 61.0),
    }  # fmt: skip

    class Fake(Chars):
        def __init__(self) -> None:
            pass

        def loose(self, index: int) -> tuple[float, float, float, float] | None:
            return boxes.get(index)

        def tight(self, index: int) -> tuple[float, float, float, float] | None:
            return boxes.get(index)

    assert [word.text for word in read_carefully("a\u0002bc", 0, Fake())] == ["a-", "bc"]


def test_barred_fraction_is_one_figure(make_pdf: MakePdf) -> None:
    """A figure over a bar over a figure is read on the bar's line; a broken rule is no bar."""

    def page_of(paper: Any) -> None:
        paper.drawString(40, 500, "suction 4")
        x = 42 + paper.stringWidth("suction 4")
        paper.drawString(x, 507, "1")
        paper.line(x - 0.5, 504, x + 5.5, 504)
        paper.drawString(x, 494, "2")
        paper.drawString(x + 9, 500, "in. Hg. at 2,850 r.p.m.")
        for n in range(8):  # a rule of dashes between two rows of figures
            paper.line(40 + 9 * n, 404, 45 + 9 * n, 404)
        paper.drawString(40, 407, "7")
        paper.drawString(40, 394, "8")

    [page] = read_pages(make_pdf(page_of))
    lines = [" ".join(line.split()) for line in page.text.split("\n") if line]
    assert lines == ["suction 4 1/2 in. Hg. at 2,850 r.p.m.", "7", "8"]


def test_short_last_column(make_pdf: MakePdf) -> None:
    """A second column of two lines is read after the first, not into it."""

    def page_of(paper: Any) -> None:
        for n, left in enumerate(LEFT):
            paper.drawString(40, 540 - 13 * n, left)
        for n, right in enumerate(RIGHT[:2]):
            paper.drawString(230, 540 - 13 * n, right)

    [page] = read_pages(make_pdf(page_of))
    assert [line for line in page.text.split("\n") if line.strip()] == LEFT + RIGHT[:2]


def test_lines_in_one_ruled_cell(make_pdf: MakePdf) -> None:
    """A heading in a ruled cell governs the lines below it there, and no note mark is lost."""

    def page_of(paper: Any) -> None:
        paper.grid([36, 160, 260], [540, 490, 470])
        for n, (label, value) in enumerate(
            [("Oil pressure", ""), ("normal", "80 lb."), ("minimum", "60 lb.")]
        ):
            paper.drawString(40, 528 - 15 * n, label)
            paper.drawString(164, 528 - 15 * n, value)
        paper.drawString(40, 476, "Coolant")
        paper.drawString(164, 476, "125°C.")
        paper.setFont("Times-Roman", 6)
        paper.drawString(200, 501.5, "1")

    [page] = read_pages(make_pdf(page_of))
    [grid] = find_grids(page.text)
    assert [
        ([page.text[slice(*s)] for s in c.row], page.text[slice(*c.span)]) for c in grid.cells
    ] == [
        (["Oil pressure", "normal"], "80 lb."), (["Oil pressure", "minimum"], "60 lb. ¹"),
        (["Coolant"], "125°C."),
    ]  # fmt: skip


def test_spaced_letters_are_closed_up(make_pdf: MakePdf) -> None:
    """Words set with spaced letters for stress are words again, with their figures."""

    def page_of(paper: Any) -> None:
        x = 40.0
        for char in "Sperrung bei 2500":
            paper.drawString(x, 500, char)
            x += paper.stringWidth(char) + 3
        paper.drawString(40, 480, "Drehzahl 2500 U/min")
        paper.drawString(40, 460, "Oil . . . . . . . . . . 80 lb.")
        for n in range(8):
            paper.drawString(40 + 14 * n, 440, str(n))
        paper.drawString(40, 420, "1 2 3 4 5 6 7 8")

    [page] = read_pages(make_pdf(page_of))
    lines = [line for line in page.text.split("\n") if line]
    assert lines[0] == "Sperrung bei 2500"
    assert lines[2].split() == ["Oil", *"..........", "80", "lb."]
    assert lines[3].split() == list("01234567")
    assert lines[4].split() == list("12345678")


@pytest.mark.parametrize("stroke", [0, 1])
def test_shaded_headings_stay_with_their_table(make_pdf: MakePdf, stroke: int) -> None:
    """Shading or a box behind the headings does not part them from figures without rules."""

    def page_of(paper: Any) -> None:
        paper.setFillGray(0.9)
        for x in (36, 120, 200):
            paper.rect(x, 535, 80, 16, stroke=stroke, fill=1)
        paper.setFillGray(0)
        for n, row in enumerate(
            [
                ("Item", "lb./sq.in.", "kg./sq.cm."),
                ("Main", "600", "42.2"),
                ("Brake", "400", "28.1"),
            ]
        ):
            for x, cell in zip((40, 124, 204), row):
                paper.drawString(x, 540 - 16 * n, cell)

    [page] = read_pages(make_pdf(page_of))
    assert grid_rows(page.text) == [
        ("Main", "lb./sq.in.", "600"), ("Main", "kg./sq.cm.", "42.2"),
        ("Brake", "lb./sq.in.", "400"), ("Brake", "kg./sq.cm.", "28.1"),
    ]  # fmt: skip
