"""Web pages: the words in reading order, tables with bars between their cells."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path

from reconcile.errors import EmptySourceError, OversizeSourceError
from reconcile.records import Page
from reconcile.sources.sheet import lay_out
from reconcile.sources.text import read_lines

MAX_HTML = 20_000_000
"""Longer pages [characters] are refused."""

_HIDDEN = frozenset(("script", "style", "template", "noscript", "head", "svg"))
_BLOCK = frozenset(
    ("address", "article", "aside", "blockquote", "body", "br", "caption", "dd", "div", "dl",
     "dt", "figcaption", "figure", "footer", "form", "h1", "h2", "h3", "h4", "h5", "h6",
     "header", "hr", "li", "main", "nav", "ol", "p", "pre", "section", "table", "tbody",
     "tfoot", "thead", "tr", "ul")
)  # fmt: skip
_RAISED = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_BLANKS = re.compile(r"[ \t\r\n\f]+")


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.out: list[str] = []
        self.hidden = 0
        self.raised = False
        self.pre = 0
        self.tables: list[list[list[str]]] = []
        self.cell: list[str] | None = None
        self.spans: tuple[int, int] = (1, 1)
        self.reaching: list[dict[int, int]] = []
        """For each open table, how many rows further a cell above reaches, by column."""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _HIDDEN:
            self.hidden += 1
        elif tag == "table":
            self._end_cell()
            self.tables.append([])
            self.reaching.append({})
        elif tag == "tr" and self.tables:
            self._end_cell()
            self._end_row()
            self.tables[-1].append([])
        elif tag in ("td", "th") and self.tables:
            self._end_cell()
            if not self.tables[-1]:
                self.tables[-1].append([])
            self.cell = []
            self.spans = _number(attrs, "colspan"), _number(attrs, "rowspan")
        elif tag == "sup":
            self.raised = True
        elif tag == "pre":
            self.pre += 1
            self._put("\n")
        elif tag in _BLOCK:
            self._put(" " if self.cell is not None else "\n")

    def handle_endtag(self, tag: str) -> None:
        if tag in _HIDDEN:
            self.hidden = max(0, self.hidden - 1)
        elif tag in ("td", "th", "tr"):
            self._end_cell()
        elif tag == "table" and self.tables:
            self._end_cell()
            rows = self.tables.pop()
            self.reaching.pop()
            text = "\n\n" + lay_out(rows) + "\n\n"
            if self.tables:
                self._put(" ".join(text.split()))
            else:
                self.out.append(text)
        elif tag == "sup":
            self.raised = False
        elif tag == "pre":
            self.pre = max(0, self.pre - 1)
            self._put("\n")
        elif tag in _BLOCK:
            self._put(" " if self.cell is not None else "\n")

    def handle_data(self, data: str) -> None:
        if self.hidden:
            return
        if self.raised and data.strip().isdigit():
            data = data.translate(_RAISED)
        if not self.pre or self.cell is not None:
            data = _BLANKS.sub(" ", data)
        self._put(data)

    def _put(self, words: str) -> None:
        if self.hidden:
            return
        out = self.out if self.cell is None else self.cell
        if not self.pre and words[:1] == " " and out and out[-1][-1:] in (" ", "\n"):
            words = words[1:]
        if words:
            out.append(words)

    def _end_row(self) -> None:
        if self.tables[-1]:
            row, reaching = self.tables[-1][-1], self.reaching[-1]
            for column in reaching:
                if column >= len(row):
                    reaching[column] = max(0, reaching[column] - 1)

    def _end_cell(self) -> None:
        if self.cell is not None and self.tables and self.tables[-1]:
            row, reaching = self.tables[-1][-1], self.reaching[-1]
            while reaching.get(len(row), 0):  # a cell above reaches down into this place
                reaching[len(row)] -= 1
                row.append("")
            across, down = self.spans
            for column in range(len(row), len(row) + across):
                reaching[column] = down - 1
            row.extend(["".join(self.cell).strip(), *[""] * (across - 1)])
        self.cell = None


def _number(attrs: list[tuple[str, str | None]], name: str) -> int:
    value = dict(attrs).get(name) or "1"
    return max(1, min(int(value), 50)) if value.isascii() and value.isdigit() else 1


def read_html_pages(path: Path, source_id: str, encoding: str) -> Iterator[Page]:
    """The one page of an HTML file.

    Raises
    ------
    EmptySourceError
        No words in it.
    OversizeSourceError
        Longer than `MAX_HTML`.
    """
    reader = _Reader()
    size = 0
    for line in read_lines(path, encoding):
        size += len(line)
        if size > MAX_HTML:
            raise OversizeSourceError(
                f"is longer than {MAX_HTML:,} characters", where=path.name, do="cut it in parts"
            )
        reader.feed(line)
    reader.close()
    while reader.tables:  # never closed
        reader.handle_endtag("table")
    lines = [line.rstrip() for line in "".join(reader.out).split("\n")]
    lines = [line[1:] if line[:1] == " " and line[1:2] != " " else line for line in lines]
    text = re.sub(r"\n{3,}", "\n\n", "\n".join(lines)).strip("\n")
    if not text.strip():
        raise EmptySourceError("holds no words", where=path.name)
    yield Page(source_id, 1, text)
