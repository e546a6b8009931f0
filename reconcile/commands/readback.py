"""The command readback: a source's own words, with each figure in units the reader chooses."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain, islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from reconcile.commands.output import Form, note, progress, write_rows
from reconcile.errors import ExitCode, SourceError, UnknownTermError

if TYPE_CHECKING:
    from reconcile.publish.readback import Readback
    from reconcile.records import Figure, Limit, Page

FORMS = ("html", "markdown", "tei", "srt", "vtt")
_PAGES_TO_JUDGE_BY = 8
"""Pages whose text decides the tradition of a source that does not state it."""
_ENDINGS = {"html": ".html", "markdown": ".md", "tei": ".xml", "srt": ".srt", "vtt": ".vtt"}


def _text(readback: Readback, form: str) -> str:
    from reconcile.publish.readback_captions import srt_text, vtt_text
    from reconcile.publish.readback_text import WRITERS

    return {**WRITERS, "srt": srt_text, "vtt": vtt_text}[form](readback)


def _read(
    path: Path,
    units: Sequence[str],
    meta: dict[str, Any],
    figures: dict[str, Figure] | None = None,
    standings: dict[str, str] | None = None,
) -> Readback:
    """Read a source again, page by page; figures of a dossier's table take their places."""
    from reconcile.pages import detect_tradition, read_page
    from reconcile.publish.readback import read_back
    from reconcile.sources import read_source

    source, pages = read_source(path, **meta)
    if source.tradition == "unknown":
        first = list(islice(pages, _PAGES_TO_JUDGE_BY))
        pages = chain(first, pages)
        odds = detect_tradition("\n".join(page.text for page in first))
        source = replace(source, tradition=max(odds, key=lambda pair: pair[1])[0])

    def read() -> Iterator[tuple[Page, list[Figure], tuple[Limit, ...]]]:
        for page in pages:
            reading = read_page(page, tradition=source.tradition)
            own = [(figures or {}).get(figure.id, figure) for figure in reading.figures]
            yield page, own, reading.limits

    return read_back(source, read(), units=units, standings=standings)


def run(path: Path, units: Sequence[str], form: str, out: Path | None, tradition: str) -> int:
    """Read a source back to stdout or `out`; of a dossier, every source into its "made".

    Raises
    ------
    UnknownTermError
        `form` is none of `FORMS`.
    """
    if form not in FORMS:
        raise UnknownTermError(f"no form {form!r}", expected=", ".join(FORMS))
    if (path / "dossier.toml").is_file():
        return _dossier(path, units, form, out)
    text = _text(_read(path, units, {"tradition": tradition}), form)
    if out is None:
        sys.stdout.write(text)
    else:
        out.write_text(text, encoding="utf-8", newline="\n")
        note(f"wrote {out}")
    return ExitCode.CLEAN


def _dossier(folder: Path, units: Sequence[str], form: str, out: Path | None) -> int:
    from reconcile.dossier import open_dossier
    from reconcile.work import make_table

    dossier = open_dossier(folder)
    table = make_table(dossier, progress)
    figures = {row.figure.id: row.figure for row in table.rows}
    standings = {
        row.figure.id: f"{row.standing}: {row.reason}" if row.reason else row.standing
        for row in table.rows
        if row.standing != "verified"
    }
    place = out or dossier.made / "readback"
    place.mkdir(parents=True, exist_ok=True)
    written, failed = [], False
    known = {source.name: source for source in table.sources}
    for entry in dossier.entries:
        source = known.get(entry.file)
        if source is None:
            failed = True  # said already, when the dossier was read
            continue
        meta = {
            name: getattr(source, name)
            for name in ("title", "edition", "date", "tradition", "role")
            if getattr(source, name)
        }
        if entry.encoding:
            meta["encoding"] = entry.encoding
        try:
            readback = _read(dossier.source_path(entry.file), units, meta, figures, standings)
        except SourceError as fault:
            note(f"reconcile: {fault.sentence}")
            failed = True
            continue
        readback = replace(readback, source=source)
        forms = [form]
        if source.medium == "captions" and form not in ("srt", "vtt"):
            forms += ["srt", "vtt"]
        elif source.medium != "captions" and form in ("srt", "vtt"):
            continue
        for one in forms:
            path = place / f"{entry.file}{_ENDINGS[one]}"
            path.write_text(_text(readback, one), encoding="utf-8", newline="\n")
            written.append({"file": str(path), "holds": f"{entry.file} read back as {one}"})
    write_rows(written, Form.TABLE, columns=("file", "holds"))
    return ExitCode.UNREADABLE_INPUT if failed else ExitCode.CLEAN
