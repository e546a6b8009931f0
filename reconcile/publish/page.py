"""The report for people: one HTML file that needs no network and no program but a browser.

Everything a source says is escaped, the style and script stand inside, and a policy in the
file's head forbids the browser to fetch or run anything else. The same table gives the same
bytes on any day.
"""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from reconcile.publish.page_drawings import Drawing, draw_dials, draw_plots
from reconcile.publish.page_model import PageModel, make_model
from reconcile.publish.page_pictures import Crop, Pictures, draw_pages
from reconcile.publish.page_values import Equivalent
from reconcile.publish.rows import LimitTable

if TYPE_CHECKING:
    from jinja2 import Environment

TEMPLATES = Path(__file__).with_name("templates")
SCALE = 1.15
"""CSS pixels to a point of a source's page, in the crops."""
WHOLE_SCALE = 4 / 3
"""The same where the whole page is shown: true to size."""


def write_page(table: LimitTable, path: Path, *, source_folder: Path) -> None:
    """Write the report of a limit table as one self-contained HTML file.

    Parameters
    ----------
    table : LimitTable
    path : Path
        File to write.
    source_folder : Path
        Folder of the sources, for crops of their pages; a source that is not there costs
        its crops and is named in the report.
    """
    model = make_model(table)
    pictures = draw_pages(table, source_folder)
    path.write_text(page_html(model, pictures), encoding="utf-8", newline="\n")


def page_html(model: PageModel, pictures: Pictures) -> str:
    """The report's HTML."""
    from markupsafe import Markup

    from reconcile.version import __version__

    script = (TEMPLATES / "page.js").read_text(encoding="utf-8")
    style = (TEMPLATES / "page.css").read_text(encoding="utf-8")
    plots: tuple[Drawing, ...] = draw_plots(model.table)
    dials: tuple[Drawing, ...] = draw_dials(model.table)
    text = (
        _environment()
        .get_template("page.html")
        .render(
            model=model,
            table=model.table,
            pictures=pictures,
            plots=plots,
            dials=dials,
            style=Markup(style + _page_styles(pictures)),
            script=Markup(script),
            script_digest=b64encode(sha256(script.encode()).digest()).decode("ascii"),
            version=__version__,
        )
    )
    return "\n".join(line.rstrip() for line in text.splitlines() if line.strip()) + "\n"


def _page_styles(pictures: Pictures) -> str:
    """One rule a page picture; its key and bytes are ours, so nothing needs escaping."""
    rules = []
    for picture in pictures.pages.values():
        small, whole = (
            f"{picture.width * s:.0f}px {picture.height * s:.0f}px" for s in (SCALE, WHOLE_SCALE)
        )
        rules.append(
            f".{picture.key}{{background-image:url({picture.data_uri});background-size:{small}}}\n"
            f".leaf.{picture.key}{{background-size:{whole}}}"
        )
    return "\n".join(rules)


def _crop_style(crop: Crop) -> str:
    x, y, width, height = (v * SCALE for v in (crop.left, crop.top, crop.width, crop.height))
    # On a narrow screen the window shrinks; it is then shifted so that the mark stays in it.
    centre = ((crop.box[0] + crop.box[2]) / 2 - crop.left) / crop.width
    return (
        f"background-position:{-x:.0f}px {-y:.0f}px;width:{width:.0f}px;height:{height:.0f}px;"
        f"margin-left:min(0px,calc((100% - {width:.0f}px)*{centre:.2f}))"
    )


def _mark_style(crop: Crop) -> str:
    left, top, right, bottom = crop.box
    return (
        f"left:{(left - crop.left) * SCALE - 3:.0f}px;top:{(top - crop.top) * SCALE - 3:.0f}px;"
        f"width:{(right - left) * SCALE + 6:.0f}px;height:{(bottom - top) * SCALE + 6:.0f}px"
    )


def _whole_box(crop: Crop) -> str:
    """Mark's left, top, width, height and the page's width and height, for the script."""
    left, top, right, bottom = crop.box
    numbers = (
        left - 3,
        top - 3,
        right - left + 6,
        bottom - top + 6,
        crop.picture.width,
        crop.picture.height,
    )
    return " ".join(f"{v * WHOLE_SCALE:.0f}" for v in numbers)


def _by_form(lines: tuple[Equivalent, ...]) -> list[tuple[str, list[Equivalent]]]:
    """Equivalents under their reference form, in order of first showing."""
    found: dict[str, list[Equivalent]] = {}
    for line in lines:
        found.setdefault(line.form, []).append(line)
    return list(found.items())


@cache
def _environment() -> Environment:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made: Any = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters.update(
        crop_width=lambda crop: f"width:{crop.width * SCALE:.0f}px",
        crop_style=_crop_style,
        mark_style=_mark_style,
        whole_box=_whole_box,
        groupby_form=_by_form,
    )
    return made
