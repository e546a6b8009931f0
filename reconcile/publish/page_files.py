"""All that is written for people: the report as page and as PDF, and each dial as a file."""

from __future__ import annotations

from pathlib import Path

from reconcile.publish.page import page_html
from reconcile.publish.page_drawings import write_dials
from reconcile.publish.page_model import make_model
from reconcile.publish.page_pictures import draw_pages
from reconcile.publish.pdf_report import set_pdf
from reconcile.publish.rows import LimitTable

MOST_TO_PRINT = 2000
"""Entries of a report that is also set as PDF; more make a book that nobody prints, and cost
more time than all other formats together."""


def write_reports(
    table: LimitTable, folder: Path, *, source_folder: Path
) -> list[tuple[Path, str]]:
    """Write the reports of a limit table.

    Parameters
    ----------
    table : LimitTable
    folder : Path
        Must be there.
    source_folder : Path
        Folder of the sources, for crops of their pages.

    Returns
    -------
    written : list of (Path, str)
        Each file and what it holds. A very large table gets no PDF, and the list says so.
    """
    model = make_model(table)
    pictures = draw_pages(table, source_folder)
    page, pdf = folder / "report.html", folder / "report.pdf"
    page.write_text(page_html(model, pictures), encoding="utf-8", newline="\n")
    holds = "the report for people: open it in a browser"
    written = [(page, holds)]
    if len(model.entries) > MOST_TO_PRINT:
        written = [(page, f"{holds} (no PDF is made of more than {MOST_TO_PRINT} entries)")]
        pdf.unlink(missing_ok=True)
    else:
        set_pdf(model, pictures, pdf)
        written.append((pdf, "the same to print"))
    if dials := write_dials(table, folder / "dials"):
        shown = ", ".join(path.stem.replace("-", " ") for path, _ in dials)
        written.append((folder / "dials", f"dials with the verified marks, true to size: {shown}"))
    return written
