"""Writes a readback as HTML, Markdown or TEI."""

from __future__ import annotations

import html
import re
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from reconcile.publish.columns import number_15, printable
from reconcile.publish.markdown import escape_markdown
from reconcile.publish.readback import Mark, Readback, ReadbackPage
from reconcile.publish.rows import SCHEMA_VERSION
from reconcile.publish.tei import NAMESPACE, measure_element, tei_header

_STYLE = """
:root{color-scheme:light}
body{font:16px/1.5 system-ui,sans-serif;margin:0 auto;max-width:96rem;padding:1rem;color:#1a1a1a;
background:#fff;overflow-wrap:anywhere}
h1{font-size:1.5rem;margin:.2em 0}
h2{font-size:1.05rem;margin:1.6em 0 .4em;border-bottom:1px solid #666}
.remarks{border:2px solid #444;padding:.4rem .8rem;margin:.8rem 0}
.remarks p{margin:.35em 0}
.line{display:grid;grid-template-columns:minmax(0,2fr) minmax(0,1fr);gap:0 1rem}
.line:has(ul){border-bottom:1px dotted #999}
.words{white-space:pre-wrap;font-family:ui-monospace,"DejaVu Sans Mono",monospace;font-size:.8rem;
min-height:1.3em;overflow-wrap:anywhere}
mark{background:#fff2b3;color:#000;border-bottom:2px solid #7a5c00}
mark.doubt{background:#fff;outline:2px dashed #8a1c1c;border:0}
ul{list-style:none;margin:0;padding:0;font-size:.86rem}
li.doubt::before{content:"? ";font-weight:700;color:#8a1c1c}
@media (max-width:640px){.line{grid-template-columns:minmax(0,1fr)}ul{padding-left:1.2rem}}
@media print{body{max-width:none;padding:0}.line{break-inside:avoid}}
"""


def _place(page: ReadbackPage) -> str:
    if page.page.how == "caption":
        return f"Part {page.page.number}"
    said = f"Page {page.page.number}"
    printed = page.page.printed_number
    return f"{said} (printed {printed})" if printed and printed != str(page.page.number) else said


def _class(mark: Mark) -> str:
    return ' class="doubt"' if mark.doubt else ""


def html_text(readback: Readback) -> str:
    """A readback as one self-contained HTML page; everything of the source is escaped."""
    say = html.escape
    out = [
        "<!DOCTYPE html>",
        '<html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width,initial-scale=1">',
        f"<title>{say(readback.title)}, read back</title>",
        f"<style>{_STYLE}</style></head><body>",
        f"<h1>{say(readback.title)}</h1>",
        f"<p>{say(readback.rests_on)}</p>",
        '<div class="remarks" role="note">',
        *(f"<p>{say(remark)}</p>" for remark in readback.remarks),
        "</div>",
        "<main>",
    ]
    for page in readback.pages:
        out.append(f"<section><h2>{say(_place(page))}</h2>")
        if page.page.how == "no text layer":
            out.append("<p>This page is a picture without text; nothing was read.</p>")
        for at, line, marks in page.lines():
            words = "".join(
                say(text) if mark is None else f"<mark{_class(mark)}>{say(text)}</mark>"
                for text, mark in page.pieces(at, at + len(line))
            )
            said = "".join(f"<li{_class(m)}>{say(m.line)}</li>" for m in marks)
            said = f"<ul>{said}</ul>" if said else ""
            out.append(f'<div class="line"><div class="words">{words}</div>{said}</div>')
        out.append("</section>")
    return "\n".join([*out, "</main></body></html>"]) + "\n"


def _markdown_words(text: str) -> str:
    """Words as Markdown shows them, runs of blanks kept."""
    kept = re.sub(r"^ | (?= )", "\u00a0", text.replace("\t", "    "))
    plain = kept.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    plain = re.sub(r"([\\`*_\[\]|#~])", r"\\\1", plain)
    # What Markdown would take for a list, a rule or a heading at a line's head.
    return re.sub(r"^(\s*)(\d+)([.)])", r"\1\2\\\3", re.sub(r"^(\s*)([-+=])", r"\1\\\2", plain))


def markdown_text(readback: Readback) -> str:
    """A readback as Markdown: the page's lines, equivalents indented below each."""
    out = [
        f"# {escape_markdown(readback.title)}",
        "",
        escape_markdown(readback.rests_on),
        "",
        *(f"> {escape_markdown(remark)}\n>" for remark in readback.remarks),
        "",
    ]
    for page in readback.pages:
        out += [f"## {escape_markdown(_place(page))}", ""]
        if page.page.how == "no text layer":
            out += ["*This page is a picture without text; nothing was read.*", ""]
        for at, line, marks in page.lines():
            words = "".join(
                _markdown_words(text) if mark is None else f"<mark>{_markdown_words(text)}</mark>"
                for text, mark in page.pieces(at, at + len(line))
            )
            if not words.strip("\u00a0 "):
                out.append("")
                continue
            out.append(words + "\\")
            for mark in marks:
                doubt = "?" if mark.doubt else ""
                out.append(f"<small>→{doubt} {escape_markdown(mark.line)}</small>\\")
        # A page's last line breaks to nothing.
        if out[-1].endswith("\\"):
            out[-1] = out[-1].removesuffix("\\")
        out.append("")
    return "\n".join(out)


def tei_text(readback: Readback) -> str:
    """A readback as TEI: `measure` around each figure, a `note` with its equivalents."""
    from reconcile.version import __version__

    source = readback.source
    header = {
        "title": f"{readback.title}, read back",
        "cautions": list(readback.remarks),
        "sources": [
            {
                "source_id": source.id,
                "name": printable(source.name),
                "sha256": source.sha256,
                "title": printable(source.title),
                "edition": printable(source.edition),
                "date": printable(source.date),
            }
        ],
        "tool": {"name": "reconcile", "version": __version__},
        "schema_version": SCHEMA_VERSION,
    }
    out = ['<?xml version="1.0" encoding="UTF-8"?>', f'<TEI xmlns="{NAMESPACE}">']
    out += [*tei_header(header), "<text>", "<body>"]
    for page in readback.pages:
        out.append(f'<div type="page"><pb n={quoteattr(str(page.page.number))}/>')
        lines = []
        for at, line, marks in page.lines():
            ending = {id(mark) for mark in marks}
            lines.append(
                "".join(
                    _tei_piece(text, mark, mark is not None and id(mark) in ending)
                    for text, mark in page.pieces(at, at + len(line))
                )
            )
        out.append("<ab>" + "<lb/>\n".join(lines) + "</ab></div>")
    if not readback.pages:
        out.append("<p>Nothing was read.</p>")
    return "\n".join([*out, "</body>", "</text>", "</TEI>"]) + "\n"


def _tei_piece(text: str, mark: Mark | None, ends: bool) -> str:
    if mark is None:
        return escape(text)
    q = mark.figure.quantity
    measure = measure_element(
        text,
        kind=q.kind,
        unit=q.unit,
        nominal=number_15(q.nominal),
        lo=number_15(q.lo),
        hi=number_15(q.hi),
    )
    if not ends:
        return measure
    note = f'<note type="equivalent">{escape(printable(mark.said) or "")}</note>'
    if mark.doubt:
        note += f'<note type="doubt">{escape(printable(mark.doubt) or "")}</note>'
    return measure + note


WRITERS = {"html": html_text, "markdown": markdown_text, "tei": tei_text}


def write_readback(readback: Readback, path: Path, form: str) -> None:
    """Write a readback to `path` as "html", "markdown" or "tei"."""
    path.write_text(WRITERS[form](readback), encoding="utf-8", newline="\n")
