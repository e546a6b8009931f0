"""Sets the handbook's pages: crown octavo, Times and Courier, as a small press of 1943 would."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from markup import Block, Figure, Inline, Page, Table, breaks
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas

WIDTH, HEIGHT = 420.0, 540.0
LEFT, RIGHT, TOP, FOOT = 38.0, 382.0, 490.0, 44.0
ROMAN, BOLD, ITALIC, TYPED = "Times-Roman", "Times-Bold", "Times-Italic", "Courier"

Segment = tuple[str, str]
"""Text and font."""


def printed(figure: Figure) -> str:
    """A figure as the press sets it: a minus sign is an en dash."""
    return figure.written.replace("-", "–") if figure.written.startswith("-") else figure.written


def words_of(inline: Inline, font: str = ROMAN) -> list[list[Segment]]:
    """Words, each a run of segments; a figure is never broken over a line."""
    words: list[list[Segment]] = []
    bold = False
    glued = False
    for piece in inline:
        if isinstance(piece, Figure):
            text = printed(piece)
            parts = [text if breaks(piece) else text.replace(" ", "\xa0")]
        else:
            parts = piece.split("**")
        for number, part in enumerate(parts):
            if number:
                bold = not bold
            face = BOLD if bold and font == ROMAN else font
            for at, word in enumerate(part.split(" ")):
                if at:
                    glued = False
                if word:
                    if glued and words:
                        words[-1].append((word, face))
                    else:
                        words.append([(word, face)])
                    glued = True
    return words


def _width(word: list[Segment], size: float) -> float:
    return sum(stringWidth(text, font, size) for text, font in word)


class Press:
    """Draws pages on one canvas, keeping the height of the next line."""

    def __init__(self, path: Path, title: str, edition: str) -> None:
        self.canvas = Canvas(str(path), pagesize=(WIDTH, HEIGHT), invariant=1, pageCompression=1)
        self.canvas.setTitle(title)
        self.canvas.setAuthor("Pellworth Aircraft Company, Limited (invented)")
        self.canvas.setSubject(edition)
        self.y = TOP
        self.overruns: list[str] = []

    def draw(self, x: float, y: float, word: list[Segment], size: float) -> None:
        for text, font in word:
            self.canvas.setFont(font, size)
            self.canvas.drawString(x, y, text.replace("\xa0", " "))
            x += stringWidth(text, font, size)

    def prose(
        self,
        inline: Inline,
        left: float,
        right: float,
        size: float,
        leading: float,
        indent: float = 0.0,
        font: str = ROMAN,
        justify: bool = True,
    ) -> None:
        """A paragraph, set solid between `left` and `right` [pt]."""
        space = stringWidth(" ", font, size)
        line: list[list[Segment]] = []
        used, start = 0.0, left + indent
        for word in words_of(inline, font):
            wide = _width(word, size)
            if line and start + used + space * len(line) + wide > right:
                self._line(line, start, right, used, size, space, justify)
                self.y -= leading
                line, used, start = [], 0.0, left
            line.append(word)
            used += wide
        self._line(line, start, right, used, size, space, False)
        self.y -= leading

    def _line(
        self,
        line: list[list[Segment]],
        x: float,
        right: float,
        used: float,
        size: float,
        space: float,
        justify: bool,
    ) -> None:
        gap = (right - x - used) / (len(line) - 1) if justify and len(line) > 1 else space
        for at, word in enumerate(line):
            # The blank itself is set too, so that every reader parts the words alike.
            end = [(" ", word[-1][1])] if at < len(line) - 1 else []
            self.draw(x, self.y, [*word, *end], size)
            x += _width(word, size) + gap

    def centred(self, inline: Inline, font: str, size: float) -> None:
        words = words_of(inline, font)
        space = stringWidth(" ", font, size)
        wide = sum(_width(word, size) for word in words) + space * (len(words) - 1)
        self._line(words, (LEFT + RIGHT - wide) / 2, RIGHT, wide, size, space, False)

    def leader(self, block: Block) -> None:
        """A label, dots, and its value at the right-hand edge."""
        size, leading = 10.2, 13.4
        space = stringWidth(" ", ROMAN, size)
        x = LEFT + 14
        for word in words_of(block.inline):
            self.draw(x, self.y, [*word, (" ", ROMAN)], size)
            x += _width(word, size) + space
        values = words_of(block.value)
        wide = sum(_width(word, size) for word in values) + space * (len(values) - 1)
        start = RIGHT - wide
        at = RIGHT - 4 - 7.0 * int((RIGHT - 4 - x) / 7.0)
        self.canvas.setFont(ROMAN, size)
        while at < start - 9:
            self.canvas.drawString(at, self.y, ".")
            at += 7.0
        self._line(values, start, RIGHT, wide, size, space, False)
        self.y -= leading

    def slip(self, block: Block) -> None:
        """An amendment slip, typed and pasted in."""
        top = self.y + 3
        left, right = LEFT + 22, RIGHT - 22
        self.y -= 9
        self.canvas.setFont("Courier-Bold", 8.6)
        self.canvas.drawString(left + 8, self.y, block.label)
        self.y -= 11
        for line in block.blocks:
            self.prose(line.inline, left + 8, right - 8, 8.4, 10.6, font=TYPED, justify=False)
        self.canvas.setLineWidth(0.4)
        self.canvas.setDash(2, 1.5)
        bottom = self.y + 4
        for x0, y0, x1, y1 in (
            (left, top, right, top),
            (left, bottom, right, bottom),
            (left, bottom, left, top),
            (right, bottom, right, top),
        ):
            self.canvas.line(x0, y0, x1, y1)
        self.canvas.setDash()
        self.y = bottom - 12

    def table(self, table: Table) -> None:
        """A table, ruled in full or open under one rule."""
        size, leading = 9.2, 14.0
        left = (LEFT + RIGHT - sum(table.widths)) / 2
        edges = [left]
        for width in table.widths:
            edges.append(edges[-1] + width)
        top = self.y + 6
        body = [row for row in table.rows if row]
        figures = [
            max((_solid(row[at], size) for row in body), default=0.0)
            for at in range(len(table.widths))
        ]
        rules = [(top, edges[0], edges[-1])]
        self.y = top - 10.4
        for number, deck in enumerate(table.decks):
            at = 0
            last = number == len(table.decks) - 1
            for text, span in deck:
                x0, x1 = edges[at], edges[at + span]
                font = ITALIC if last and number else ROMAN
                self._cell(text, x0, x1, "c", 0.0, size, font)
                # Between the decks a rule runs only under a heading that spans columns.
                if span > 1 and not last:
                    inset = 0 if table.ruled else 4
                    rules.append((self.y - 3, x0 + inset, x1 - inset))
                at += span
            self.y -= leading
        rules.append((self.y + leading - 3.8, edges[0], edges[-1]))
        self.y -= 0.6
        for row in table.rows:
            if row is None:
                if not table.ruled:
                    rules.append((self.y + leading - 3.8, edges[1], edges[-1]))
                continue
            for at, cell in enumerate(row):
                self._cell(cell, edges[at], edges[at + 1], table.aligns[at], figures[at], size)
            self.y -= leading
            if table.ruled:
                rules.append((self.y + leading - 3.8, edges[0], edges[-1]))
        bottom = self.y + leading - 3.8
        if not table.ruled:
            rules.append((bottom, edges[0], edges[-1]))
        self.canvas.setLineWidth(0.5)
        for y, x0, x1 in rules:
            self.canvas.line(x0, y, x1, y)
        if table.ruled:
            self._uprights(table, edges, top, bottom, leading)
        self.y = bottom - 11

    def _uprights(
        self, table: Table, edges: list[float], top: float, bottom: float, leading: float
    ) -> None:
        for at, x in enumerate(edges):
            start = top
            for deck in table.decks:
                covered, spanned = 0, False
                for _, span in deck:
                    spanned |= covered < at < covered + span
                    covered += span
                start -= leading if spanned else 0.0
                if not spanned:
                    break
            self.canvas.line(x, start - (0.2 if start < top else 0), x, bottom)

    def _cell(
        self,
        cell: Inline,
        x0: float,
        x1: float,
        align: str,
        widest: float,
        size: float,
        font: str = ROMAN,
    ) -> None:
        words = words_of(cell, font)
        space = stringWidth(" ", ROMAN, size)
        wide = sum(_width(word, size) for word in words) + space * max(len(words) - 1, 0)
        if align == "l":
            x = x0 + 4
        elif align == "c":
            x = (x0 + x1 - wide) / 2
        else:
            # Numbers keep one right-hand edge; a note's mark hangs outside it.
            x = (x0 + x1 + widest) / 2 - _solid(cell, size)
        self._line(words, x, x1, wide, size, space, False)

    def page(self, page: Page, number: int) -> None:
        """One whole page with its running head and number."""
        self.y = TOP
        if page.head:
            self.canvas.setFont(ROMAN, 8)
            self.canvas.drawString(LEFT, 510, page.head[0])
            self.canvas.drawRightString(RIGHT, 510, page.head[1])
            self.canvas.setLineWidth(0.5)
            self.canvas.line(LEFT, 505, RIGHT, 505)
            self.canvas.setFont(ROMAN, 8.5)
            self.canvas.drawCentredString(WIDTH / 2, 24, str(number))
        for block in page.blocks:
            self.block(block)
        if self.y < FOOT - 8:
            self.overruns.append(f"page {number} by {FOOT - 8 - self.y:.0f} pt")
        self.canvas.showPage()

    def block(self, block: Block) -> None:
        size, leading = 10.2, 13.0
        match block.kind:
            case "space":
                self.y -= block.amount
            case "rule":
                self.canvas.setLineWidth(0.8)
                self.canvas.line(LEFT + 60, self.y, RIGHT - 60, self.y)
                self.y -= 8
            case "h":
                self.centred(block.inline, BOLD, 11)
                self.y -= 17
            case "^":
                self.centred(block.inline, ROMAN, 10)
                self.y -= 15
            case "^^":
                self.centred(block.inline, BOLD, 17)
                self.y -= 24
            case "small":
                self.prose(block.inline, LEFT + 50, RIGHT - 50, 7.5, 9.2)
            case "note":
                self.prose(block.inline, LEFT + 8, RIGHT - 8, 8.6, 10.6)
            case "prose":
                self.prose(block.inline, LEFT, RIGHT, size, leading, indent=12)
                self.y -= 2
            case "item":
                self.draw(LEFT + 12, self.y, [(block.label, ROMAN)], size)
                self.prose(block.inline, LEFT + 36, RIGHT, size, leading)
                self.y -= 1
            case "leader":
                self.leader(block)
            case "slip":
                self.slip(block)
            case "table":
                assert block.table is not None
                self.table(block.table)
            case _:
                raise ValueError(f"no such block: {block.kind}")


def _solid(cell: Inline, size: float) -> float:
    """Width of a cell without the note's mark that hangs after its figure [pt]."""
    solid = cell[:-1] if len(cell) > 1 and cell[-1] in ("*", "†") else cell
    words = words_of(solid)
    space = stringWidth(" ", ROMAN, size)
    return sum(_width(word, size) for word in words) + space * max(len(words) - 1, 0)


def figures_of(block: Block) -> Iterator[Figure]:
    """Figures of a block in reading order."""
    for piece in (*block.inline, *block.value):
        if isinstance(piece, Figure):
            yield piece
    for inner in block.blocks:
        yield from figures_of(inner)
    if block.table:
        for deck in block.table.decks:
            for text, _ in deck:
                yield from (piece for piece in text if isinstance(piece, Figure))
        for row in block.table.rows:
            for cell in row or ():
                yield from (piece for piece in cell if isinstance(piece, Figure))


def set_handbook(pages: list[Page], path: Path, title: str, edition: str) -> None:
    """Writes one edition as PDF."""
    press = Press(path, title, edition)
    for number, page in enumerate(pages, 1):
        press.page(page, number)
    if press.overruns:
        raise ValueError("text runs over the foot of " + ", ".join(press.overruns))
    press.canvas.save()
