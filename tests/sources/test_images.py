"""Pictures of pages, and the optional engines."""

from __future__ import annotations

import io
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import pytest

from reconcile.errors import (
    DamagedSourceError,
    ExitCode,
    MissingDependencyError,
    UnknownTermError,
    UsageError,
)
from reconcile.sources import read_source
from reconcile.sources.images import Pictures, crop, render_page
from reconcile.sources.ocr import find_engines, require_engine

Image = pytest.importorskip("PIL.Image")


def _open(png: bytes):  # type: ignore[no-untyped-def]
    picture = Image.open(io.BytesIO(png))
    picture.load()
    return picture


def test_whole_page(make_pdf: Callable[..., Path], draw: SimpleNamespace) -> None:
    """The picture has the page's size times the scale, black on white."""
    picture = _open(render_page(make_pdf(draw.prose), 1, scale=1.5))
    assert picture.size == (630, 893)
    assert picture.getextrema()[0] < 80 and picture.getextrema()[1] == 255


def test_crop_shows_the_word(make_pdf: Callable[..., Path], draw: SimpleNamespace) -> None:
    """A crop round a word's box holds its ink, and the same pixels as the whole page there."""
    path = make_pdf(draw.prose)
    [page] = read_source(path)[1]
    box = next(w.box for w in page.words if page.text[w.start : w.end] == "2,850")
    picture = _open(crop(path, 1, box, margin=4, scale=2))
    assert picture.size == pytest.approx(
        (2 * (box[2] - box[0] + 8), 2 * (box[3] - box[1] + 8)), abs=2
    )
    assert picture.getextrema()[0] < 80
    whole = _open(render_page(path, 1, scale=2))
    part = whole.crop(
        (int(2 * (box[0] - 4)), int(2 * (box[1] - 4)),
         int(2 * (box[2] + 4)), int(2 * (box[3] + 4)))
    )  # fmt: skip

    def ink(image) -> int:  # type: ignore[no-untyped-def]
        return sum(255 - value for value in image.tobytes())

    assert ink(picture) == pytest.approx(ink(part), rel=0.1)


def test_crop_at_the_edge(make_pdf: Callable[..., Path], draw: SimpleNamespace) -> None:
    """The margin stops at the paper's edge."""
    picture = _open(crop(make_pdf(draw.prose), 1, (0, 0, 10, 10), margin=50, scale=1))
    assert picture.size == (60, 60)


def test_wrong_requests(make_pdf: Callable[..., Path], draw: SimpleNamespace) -> None:
    """No such page, a box off the page, an absurd scale: the caller's mistakes."""
    path = make_pdf(draw.prose)
    for call in (
        lambda: render_page(path, 0), lambda: render_page(path, 2), lambda: render_page(path, 1, 0),
        lambda: crop(path, 1, (500, 0, 510, 10)), lambda: crop(path, 1, (10, 0, 0, 10)),
        lambda: render_page(path, 1, 19.9),
    ):  # fmt: skip
        with pytest.raises(UsageError):
            call()
    text = path.with_suffix(".txt")
    text.write_text("words")
    with pytest.raises(DamagedSourceError):
        render_page(text, 1)


def test_engines(monkeypatch: pytest.MonkeyPatch) -> None:
    """An engine that is not installed is asked for in one sentence with the remedy."""
    monkeypatch.setattr("reconcile.sources.ocr.find_spec", lambda _: None)
    assert find_engines() == ()
    with pytest.raises(MissingDependencyError) as caught:
        require_engine()
    assert str(caught.value) == (
        "reading pictures of text needs the OCR engine 'rapidocr', which is not installed; "
        "install it with: pip install rapidocr onnxruntime."
    )
    assert caught.value.exit_code is ExitCode.MISSING_DEPENDENCY
    monkeypatch.setattr("reconcile.sources.ocr.find_spec", lambda _: object())
    assert require_engine() == "rapidocr"
    with pytest.raises(UnknownTermError):
        require_engine("crystal ball")


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
def test_crop_on_a_turned_and_cropped_page(
    make_pdf: Callable[..., Path], tmp_path: Path, turn: int
) -> None:
    """The box of a lone word is where its ink is, however the page is turned and cropped."""
    import pypdf

    writer = pypdf.PdfWriter(clone_from=make_pdf(lambda paper: paper.drawString(80, 500, "2,850")))
    writer.pages[0].rotate(turn)
    writer.pages[0].cropbox = pypdf.generic.RectangleObject((20, 10, 400, 580))
    path = tmp_path / "turned.pdf"
    writer.write(path)
    [page] = read_source(path)[1]
    [word] = page.words
    cut = _open(crop(path, 1, word.box, margin=1, scale=3))
    whole = _open(render_page(path, 1, scale=3))

    def ink(image) -> int:  # type: ignore[no-untyped-def]
        return sum(255 - value for value in image.tobytes())

    assert ink(cut) > 0.9 * ink(whole) > 0


def test_many_pictures_of_one_file(make_pdf: Callable[..., Path], draw: SimpleNamespace) -> None:
    """A file held open gives the same pictures as one opened for each."""
    path = make_pdf(draw.prose, draw.ruled)
    with Pictures(path) as pictures:
        assert pictures.page(2) == render_page(path, 2)
        assert pictures.crop(1, (40, 40, 90, 60)) == crop(path, 1, (40, 40, 90, 60))
