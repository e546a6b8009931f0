"""Crops and excerpts of a report, and the pictures that stand beside the demo."""

from __future__ import annotations

import importlib.util
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from types import ModuleType
from xml.etree import ElementTree

import pytest

from reconcile.publish.page_pictures import GREYS, WINDOW, Pictures, draw_pages
from reconcile.records import Page, Place
from reconcile.reference import tables_dir


def _page_tests() -> ModuleType:
    spec = importlib.util.spec_from_file_location(
        "page_table", Path(__file__).with_name("test_page.py")
    )
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


HAND = _page_tests()


def test_a_crop_holds_the_whole_mark(tmp_path: Path) -> None:
    """The window lies on the page and around the figure's box, wherever that stands."""
    HAND.make_sources(tmp_path)
    table = HAND.make_table(tmp_path)
    pictures = draw_pages(table, tmp_path)
    row = table.rows[0]
    width, height = 360.0, 520.0
    for left, top in ((0, 0), (350, 510), (150, 300), (2, 515)):
        box = (float(left), float(top), min(left + 60.0, width), min(top + 10.0, height))
        figure = replace(row.figure, place=replace(row.figure.place, box=box))
        crop = pictures.crop(replace(row, figure=figure))
        assert crop is not None
        assert 0 <= crop.left <= box[0] and box[2] <= crop.left + crop.width <= width
        assert 0 <= crop.top <= box[1] and box[3] <= crop.top + crop.height <= height
        assert crop.width <= WINDOW[0]


def test_page_pictures_are_small_greys(tmp_path: Path) -> None:
    """One picture a page, in few greys, however many figures stand on it."""
    from PIL import Image

    HAND.make_sources(tmp_path)
    pictures = draw_pages(HAND.make_table(tmp_path), tmp_path)
    (picture,) = pictures.pages.values()
    image = Image.open(BytesIO(picture.png))
    assert (picture.width, picture.height) == (360, 520)
    assert len(image.convert("L").getcolors() or ()) <= GREYS


def test_a_budget_leaves_pages_out_and_says_so(tmp_path: Path) -> None:
    """Where the pictures would be too many, text is shown and the report says so."""
    HAND.make_sources(tmp_path)
    table = HAND.make_table(tmp_path)
    pictures = draw_pages(table, tmp_path, budget=10)
    assert not pictures.pages
    assert "1 pages are shown as text only" in pictures.notes[0]
    excerpt = pictures.excerpt(table.rows[0])
    assert excerpt is not None and excerpt.marked


@pytest.mark.parametrize(
    ("text", "span", "expected"),
    [
        ("one\ntwo +9 lb\nthree\nfour", (8, 10), ("one\ntwo ", "+9", " lb\nthree")),
        ("+9", (0, 2), ("", "+9", "")),
        ("a\n+9\n", (2, 4), ("a\n", "+9", "\n")),
    ],
)
def test_excerpts_show_the_line_and_its_neighbours(
    text: str, span: tuple[int, int], expected: tuple[str, str, str]
) -> None:
    """A figure is shown in its own line, with a line on either side."""
    row = HAND.boost_row(span)
    pictures = Pictures(texts={(row.source.id, 1): Page(row.source.id, 1, text)})
    found = pictures.excerpt(row)
    assert found is not None
    assert (found.before, found.marked, found.after) == expected


def test_an_excerpt_of_an_endless_line_is_cut() -> None:
    """A transcript without line ends shows the words around the figure, not all of them."""
    row = HAND.boost_row((5000, 5002))
    pictures = Pictures(texts={(row.source.id, 1): Page(row.source.id, 1, "x " * 5000)})
    found = pictures.excerpt(row)
    assert found is not None and len(found.line) < 600


@pytest.mark.parametrize("span", [(0, 0), (5, 99), (7, 3)])
def test_a_span_that_is_not_in_the_text_shows_nothing(span: tuple[int, int]) -> None:
    """A place that no longer fits its source is not shown as if it did."""
    row = HAND.boost_row(span)
    pictures = Pictures(texts={(row.source.id, 1): Page(row.source.id, 1, "short")})
    assert pictures.excerpt(row) is None
    assert pictures.crop(replace(row, figure=replace(row.figure, place=Place()))) is None


def test_pictures_of_the_demo_are_small_and_sound() -> None:
    """Each picture is at most 150 kB; each drawing parses and describes itself."""
    pictures = sorted((tables_dir() / "demo" / "pictures").iterdir())
    assert pictures
    for picture in pictures:
        assert picture.stat().st_size <= 150_000, picture.name
        if picture.suffix == ".svg":
            root = ElementTree.fromstring(picture.read_text(encoding="utf-8"))
            assert root.get("role") == "img"
        else:
            assert picture.read_bytes().startswith(b"\x89PNG")
