"""Types a copy of some pages of the handbook, 72 strokes to the line."""

from __future__ import annotations

import re
import textwrap

from markup import Figure, Inline, Page, Table, breaks
from typeset import figures_of


def typed(figure: Figure) -> str:
    """A figure as a typewriter writes it."""
    return typed_text(figure.written)


def typed_text(text: str) -> str:
    """Text as a typewriter writes it: no fractions, dashes or daggers of its own."""
    for mark, key in (("½", "1/2"), ("¼", "1/4"), ("¾", "3/4")):
        text = re.sub(rf"(?<=\d){mark}", f" {key}", text).replace(mark, key)
    for mark, key in (("—", " - "), ("–", "-"), ("±", "+/-"), ("†", "**")):
        text = text.replace(mark, key)
    return text


def typed_inline(inline: Inline) -> str:
    """A run of prose as typed, blanks inside figures kept from breaking."""
    parts = [
        (typed(piece) if breaks(piece) else typed(piece).replace(" ", "\xa0"))
        if isinstance(piece, Figure)
        else typed_text(piece.replace("**", ""))
        for piece in inline
    ]
    return "".join(parts)


def wrapped(text: str, first: str = "", rest: str = "") -> list[str]:
    """Lines of at most 72 strokes."""
    lines = textwrap.wrap(
        text,
        72,
        initial_indent=first,
        subsequent_indent=rest,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [line.replace("\xa0", " ") for line in lines]


def typed_table(table: Table) -> list[str]:
    """A table in typed columns, headings over them."""
    body = [
        [typed_inline(cell).strip().replace("\xa0", " ") for cell in row] if row else None
        for row in table.rows
    ]
    decks = [[(typed_inline(text), span) for text, span in deck] for deck in table.decks]
    count = len(table.widths)
    wide = [max(len(row[at]) for row in body if row) for at in range(count)]
    for deck in decks:
        at = 0
        for text, span in deck:
            if span == 1:
                wide[at] = max(wide[at], len(text))
            else:
                while sum(wide[at : at + span]) + 3 * (span - 1) < len(text):
                    wide[at + span - 1] += 1
            at += span
    # The marks of the notes hang outside the column, so the last place stays in line.
    lines = []
    for deck in decks:
        at, cells = 0, []
        for text, span in deck:
            cells.append(text.center(sum(wide[at : at + span]) + 3 * (span - 1)))
            at += span
        lines.append("   ".join(cells).rstrip())
    rule = "-" * (sum(wide) + 3 * (count - 1))
    lines = [rule, *lines, rule]
    for row in body:
        if row is None:
            lines.append(rule)
            continue
        cells = []
        for at, cell in enumerate(row):
            bare = cell.rstrip("*")
            if table.aligns[at] == "l":
                cells.append(cell.ljust(wide[at]))
            else:
                cells.append(bare.rjust(wide[at]) + cell[len(bare) :])
        line = cells[0]
        for cell, before in zip(cells[1:], cells):
            line += " " * (3 - (len(before) - len(before.rstrip("*")))) + cell
        lines.append(line.rstrip())
    return [*lines, rule]


def typed_copy(pages: list[Page]) -> tuple[str, list[Figure]]:
    """Text of the typed transcription, and its figures in order."""
    lines = [
        "HALVERNE II - HANDBOOK OF FIGURES, FIRST EDITION (March 1943)",
        "Typed from the copy in the works by E. Quarrell. Parts II and III only.",
    ]
    figures: list[Figure] = []
    for number, page in enumerate(pages, 1):
        if not page.transcribe:
            continue
        lines += ["", f"[page {number}]", ""]
        for block in page.blocks:
            figures += figures_of(block)
            match block.kind:
                case "space":
                    lines.append("")
                case "h":
                    lines.append(typed_inline(block.inline).center(72).rstrip())
                case "leader":
                    label, value = typed_inline(block.inline), typed_inline(block.value)
                    dots = "." * max(72 - 4 - len(label) - len(value) - 2, 3)
                    lines.append(f"    {label} {dots} {value}".replace("\xa0", " "))
                case "item":
                    lines += wrapped(typed_inline(block.inline), f"  {block.label} ", " " * 8)
                case "table":
                    assert block.table is not None
                    lines += typed_table(block.table)
                case _:
                    lines += wrapped(typed_inline(block.inline))
    text = "\n".join(lines) + "\n"
    return re.sub(r"\n{3,}", "\n\n", text), figures
