"""Makes the pictures that the README shows, from the demo: run it from the project's top.

    python tables/demo/make_pictures.py

SVG drawings come straight from the package; the pages are PDF pages of the report and of a
source, drawn small. The same demo gives the same bytes.
"""

from __future__ import annotations

import sys
import tempfile
from io import BytesIO
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
PICTURES = HERE / "pictures"
LARGEST = 150_000
"""Bytes of one picture."""


def make_pictures(folder: Path = PICTURES) -> list[Path]:
    """Write all pictures into `folder` and say which."""
    from reconcile.dials import dial_svg, find_gauge, make_marks, strip_svg
    from reconcile.dossier import open_dossier
    from reconcile.publish.pdf_report import write_pdf
    from reconcile.publish.plots import plot_by_height, plots_by_condition
    from reconcile.work import make_table

    table = make_table(open_dossier(HERE))
    folder.mkdir(exist_ok=True)
    drawings: dict[str, str | bytes] = {}
    for name, gauge, parameter in (
        ("dial-boost", "manifold-10-75-inhg", "boost"),
        ("dial-engine-speed", "tachometer-0-3500", "engine speed"),
    ):
        marks = make_marks(table.rows, find_gauge(gauge), parameter)
        drawings[f"{name}.svg"] = dial_svg(marks, with_legend=False, prefix=name)
    strip = make_marks(table.rows, find_gauge("absolute-digital-kpa"), "boost")
    drawings["strip-boost.svg"] = strip_svg(strip, with_legend=False, prefix="strip-boost")
    height = plot_by_height(table)
    if height is not None:
        drawings["boost-by-height.svg"] = height.svg
    for plot in plots_by_condition(table):
        if plot.id == "plot-boost":
            drawings["boost-by-condition.svg"] = plot.svg
    with tempfile.TemporaryDirectory() as name:
        report = Path(name) / "report.pdf"
        write_pdf(table, report, source_folder=HERE / "sources")
        drawings["report-page.png"] = _page(report, "At most +9 lb/in²")
    drawings["handbook-page.png"] = _page(
        HERE / "sources" / "handbook-first-edition.pdf", "LIMITATIONS OF THE ENGINE"
    )
    for name, content in drawings.items():
        data = content if isinstance(content, bytes) else (content + "\n").encode()
        if len(data) > LARGEST:
            raise SystemExit(f"{name} has {len(data)} bytes, more than {LARGEST}")
        (folder / name).write_bytes(data)
    return [folder / name for name in drawings]


def _page(path: Path, words: str) -> bytes:
    """The first page that holds `words`, as a small PNG in few colours."""
    import pypdfium2

    document = pypdfium2.PdfDocument(path)
    try:
        for page in document:
            text = page.get_textpage()
            found = words in text.get_text_bounded()
            text.close()
            if found:
                return _small(page.render(scale=1.25).to_pil())
    finally:
        document.close()
    raise SystemExit(f"no page of {path.name} holds {words!r}")


def _small(image: Any) -> bytes:
    from PIL import Image

    stream = BytesIO()
    few = image.convert("RGB").quantize(
        24, method=Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE
    )
    few.save(stream, "PNG", compress_level=9)
    return stream.getvalue()


if __name__ == "__main__":
    for picture in make_pictures(Path(sys.argv[1]) if len(sys.argv) > 1 else PICTURES):
        print(picture.name, picture.stat().st_size)
