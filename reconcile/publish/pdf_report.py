"""The report as PDF, set by typst: the same entries, drawings and cautions as the page.

The faces are those that typst carries, no system's; no date is written; so the same table
gives the same bytes. Words of the sources go in as data, never as markup.
"""

from __future__ import annotations

import json
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from reconcile.dials.svg import FONT
from reconcile.errors import ArtefactError
from reconcile.publish.page import TEMPLATES
from reconcile.publish.page_drawings import Drawing, draw_dials, draw_plots
from reconcile.publish.page_model import Entry, FindingView, PageModel, Reading, make_model
from reconcile.publish.page_pictures import Pictures, draw_pages
from reconcile.publish.rows import LimitTable

_FACE = "Libertinus Serif"
_FULL = ("contradicted", "in doubt", "rejected")


def write_pdf(table: LimitTable, path: Path, *, source_folder: Path) -> None:
    """Write the report of a limit table as a PDF.

    Parameters
    ----------
    table : LimitTable
    path : Path
        File to write.
    source_folder : Path
        Folder of the sources; see `reconcile.publish.page.write_page`.

    Raises
    ------
    ArtefactError
        The report could not be set; a fault of this package, not of the table.
    """
    set_pdf(make_model(table), draw_pages(table, source_folder), path)


def set_pdf(model: PageModel, pictures: Pictures, path: Path) -> None:
    """Write the PDF of a table that is laid out already. Raises as `write_pdf`."""
    import typst

    with TemporaryDirectory() as name:
        folder = Path(name)
        data = report_data(model, pictures, folder)
        (folder / "data.json").write_text(json.dumps(data, ensure_ascii=False), encoding="utf-8")
        main = folder / "report.typ"
        main.write_bytes((TEMPLATES / "report.typ").read_bytes())
        for picture in pictures.pages.values():
            (folder / f"{picture.key}.png").write_bytes(picture.png)
        try:
            made = typst.compile(
                main, root=folder, ignore_system_fonts=True, timestamp=0, pdf_standards="ua-1"
            )
        except RuntimeError as fault:
            raise ArtefactError(f"the report could not be set: {fault}", where=path.name) from fault
    path.write_bytes(made)


def report_data(model: PageModel, pictures: Pictures, folder: Path) -> dict[str, Any]:
    """All that the typst template sets, as plain values; drawings are put into `folder`."""
    from reconcile.version import __version__

    table = model.table
    entries = [e for _, es in model.unverified for e in es]
    return {
        "title": table.title,
        "version": __version__,
        "subtitle": f"Limit table, read from {len(table.sources)} sources",
        "footer": f"reconcile {__version__}. Not approved data: the type’s approved documents, "
        "local rules and licensed engineers decide.",
        "cautions": list(table.cautions),
        "signs": {standing: sign for standing, _, sign, _ in model.standings},
        "counts": f"{model.figures} figures: "
        + ", ".join(f"{n} {status}" for status, n in model.statuses)
        + f". {len(table.rows)} rows of limits:",
        "standings": [
            {"standing": standing, "count": n, "says": says}
            for standing, n, _, says in model.standings
        ],
        "contradictions": [_finding(view) for view in model.bad],
        "verified": [_group(name, es, pictures) for name, es in model.verified],
        "doubtful": [
            _group(name, kept, pictures)
            for name, es in model.unverified
            if (kept := tuple(e for e in es if e.standing in _FULL))
        ],
        "unverified": [_line(e) for e in entries if e.standing not in _FULL],
        "apparatus": [
            {
                "what": f"{v.entry.parameter}: {v.entry.title}",
                "lemma": v.lemma,
                "sigla": " ".join(v.lemma_sigla),
                "variants": [
                    {"reading": reading, "sigla": " ".join(sigla), "standing": standing}
                    for reading, sigla, standing in v.variants
                ],
            }
            for v in model.apparatus
        ],
        "plots": [_drawing(d, folder) for d in draw_plots(table)],
        "dials": [_drawing(d, folder) for d in draw_dials(table)],
        "sources": [
            {
                "siglum": model.sigla[s.id],
                "what": ", ".join(p for p in (s.title, s.edition, s.date, s.name, s.role) if p),
                "sha256": s.sha256,
            }
            for s in table.sources
        ],
        "notes": [*table.notes, *pictures.notes],
    }


def _group(name: str, entries: tuple[Entry, ...], pictures: Pictures) -> dict[str, Any]:
    return {"parameter": name, "entries": [_entry(e, pictures) for e in entries]}


def _entry(entry: Entry, pictures: Pictures) -> dict[str, Any]:
    lead = entry.lead.row
    notes = [f"Holds for: {'; '.join(lead.applies_to)}."] if lead.applies_to else []
    notes += [f"Note: {note}" for note in lead.notes]
    if lead.figure.repairs:
        notes.append(f"Repaired in reading: {'; '.join(lead.figure.repairs)}.")
    notes += [f"May also read {c}" for c in entry.lead.candidates]
    return {
        **_reading(entry.lead, pictures),
        "title": entry.title,
        "standing": entry.standing,
        "meaning": entry.meaning,
        "reason": f"{entry.standing.capitalize()}: {lead.reason}",
        "notes": notes,
        "equivalents": [
            {"value": e.value, "unit": e.unit, "form": e.form, "note": e.note, "si": e.is_si}
            for e in entry.equivalents
        ],
        "readings": [_reading(r, None) for r in entry.readings[1:]],
        "findings": [_finding(v) for v in entry.findings if v.bad],
        "budget": entry.budget_total,
        "row": lead.id,
    }


def _reading(reading: Reading, pictures: Pictures | None) -> dict[str, Any]:
    crop = excerpt = None
    if pictures is not None:
        found = pictures.crop(reading.row)
        around = pictures.excerpt(reading.row)
        if found is not None:
            crop = {
                "file": f"{found.picture.key}.png",
                "left": found.left,
                "top": found.top,
                "width": found.width,
                "height": found.height,
                "page_width": found.picture.width,
                "page_height": found.picture.height,
                "box": list(found.box),
                "alt": f"Crop of {reading.row.source.name}: "
                + (around.line[:160] if around else reading.row.figure.as_written),
            }
        elif around is not None:
            excerpt = [around.before, around.marked, around.after]
    return {
        "siglum": reading.siglum,
        "written": reading.row.figure.as_written,
        "value": reading.value,
        "si": reading.si,
        "standing": reading.row.standing,
        "place": f"{reading.row.source.title or reading.row.source.name}, {reading.place}",
        "crop": crop,
        "excerpt": excerpt,
    }


def _line(entry: Entry) -> dict[str, Any]:
    reading = entry.lead
    return {
        "parameter": reading.row.parameter or "not named",
        "title": entry.title,
        "written": reading.row.figure.as_written,
        "si": reading.si,
        "place": f"{reading.siglum}, {reading.place}",
    }


def _finding(view: FindingView) -> dict[str, Any]:
    return {
        "number": view.number,
        "check": view.finding.check,
        "verdict": view.finding.verdict,
        "evidence": view.finding.evidence,
        "emendations": list(view.emendations),
    }


def _drawing(drawing: Drawing, folder: Path) -> dict[str, Any]:
    name = f"{drawing.id}.svg"
    face = FONT.replace("'", "&#x27;")
    (folder / name).write_text(drawing.svg.replace(face, _FACE), encoding="utf-8")
    return {
        "file": name,
        "title": drawing.title,
        "caption": drawing.caption,
        "lines": list(drawing.lines),
        "alt": f"{drawing.title}. " + " ".join(drawing.lines[:20]),
    }
