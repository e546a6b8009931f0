"""Reads the demo's marked-up texts: prose with figures in braces, and tables by row."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path

SCRIPT = Path(__file__).with_name("script")

FORMS = {
    "boost": "fixed_datum",
    "suction": "below_ambient",
    "manifold pressure": "absolute",
    "barometric pressure": "absolute",
    "boost change": "none",
    "oil pressure change": "none",
    "hydraulic pressure change": "none",
    "brake mean effective pressure": "none",
    "wing loading": "none",
}
"""Reference form by parameter; any other pressure of the demo is a gauge pressure."""

NUMBER = re.compile(
    r"([+\-–]?)\s?"
    r"(?:(\d+\.?\d*|\.\d+)?(?:\s?([½¼¾])|\s(\d)/(\d))|(\d)/(\d)|(\d+\.?\d*|\.\d+))"
)
"""Sign, then a whole number with a fraction, a fraction, or a decimal."""

VULGAR = {"½": Fraction(1, 2), "¼": Fraction(1, 4), "¾": Fraction(3, 4)}


def _rows(name: str) -> list[dict[str, str]]:
    with (SCRIPT / name).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


UNITS = {row["alias"]: (row["ucum"], row["kind"]) for row in _rows("units.csv")}


@dataclass(frozen=True)
class Figure:
    """One figure as a document prints it, with what it says."""

    written: str
    unit: str
    bound: str
    parameter: str
    condition: str = ""
    time: str = ""
    value: str = ""
    name: str = ""
    qualifier: str = ""
    fault: str = ""
    true_value: str = ""
    true_unit: str = ""

    @property
    def ucum(self) -> str:
        """UCUM code of the printed unit."""
        return UNITS[self.unit][0]

    @property
    def kind(self) -> str:
        """Quantity kind; a length called an altitude is of the kind altitude."""
        return "altitude" if self.parameter.startswith("altitude") else UNITS[self.unit][1]

    @property
    def form(self) -> str:
        """Reference form of a pressure, "none" for anything else."""
        return FORMS.get(self.parameter, "gauge") if self.kind == "pressure" else "none"


Piece = str | Figure
Inline = tuple[Piece, ...]


@dataclass(frozen=True)
class Block:
    """One thing on a page: a heading, a paragraph, an item, a leader line, a space."""

    kind: str
    inline: Inline = ()
    value: Inline = ()
    amount: float = 0.0
    label: str = ""
    blocks: tuple[Block, ...] = ()
    table: Table | None = None


@dataclass
class Table:
    """A table: two decks of headings at most, then rows of cells."""

    ruled: bool
    key: str
    widths: tuple[float, ...]
    aligns: tuple[str, ...]
    decks: list[list[tuple[Inline, int]]] = field(default_factory=list)
    columns: list[list[str]] = field(default_factory=list)
    rows: list[list[Inline] | None] = field(default_factory=list)
    """None stands for a rule."""


@dataclass
class Page:
    """One page of the handbook."""

    head: tuple[str, str] | None
    blocks: list[Block]
    transcribe: bool = False


def numbers_of(written: str, comma: bool = False) -> list[Fraction]:
    """Numbers as written; `comma` takes the comma for the decimal mark, the point for thousands."""
    if comma:
        written = re.sub(r"(?<=\d)\.(?=\d{3}(?!\d))", "", written).replace(",", ".")
    else:
        written = re.sub(r"(?<=\d),(?=\d{3}(?!\d))", "", written)
    found = []
    shape = (
        r"([+\-–]?)\s?(?:(\d+\.?\d*|\.\d+)?(?:\s?([½¼¾])|\s(\d)/(\d))|(\d)/(\d)|(\d+\.?\d*|\.\d+))"
    )
    for sign, whole, vulgar, top, under, top2, under2, plain in re.findall(shape, written):
        value = Fraction(plain or whole or 0)
        if vulgar:
            value += VULGAR[vulgar]
        elif top or top2:
            value += Fraction(int(top or top2), int(under or under2))
        found.append(-value if sign in ("-", "–") else value)
    return found


def values_of(figure: Figure, comma: bool = False) -> tuple[Fraction | None, ...]:
    """(nominal, lo, hi, plus_minus) of a figure in its printed unit."""
    if figure.value == "?":
        return None, None, None, None
    if figure.value:
        if ":" in figure.value:
            lo, hi = (Fraction(part) for part in figure.value.split(":"))
            return None, lo, hi, None
        nominal, _, spread = figure.value.partition("+-")
        return Fraction(nominal), None, None, Fraction(spread) if spread else None
    found = numbers_of(figure.written, comma)
    if figure.bound == "range":
        return None, abs(found[0]) if found[0] > 0 else found[0], abs(found[1]), None
    return found[0], None, None, None


def breaks(figure: Figure) -> bool:
    """Whether a figure is so long that a line may end inside it."""
    return len(figure.written) > 22


def changes(source: str) -> dict[str, dict[str, str]]:
    """What `source` prints otherwise than the first edition, by figure name."""
    return {row["name"]: row for row in _rows("changes.csv") if row["source"] == source}


class Markup:
    """Turns marked-up text into pieces, putting in the changes of one source."""

    def __init__(self, source: str) -> None:
        self.changes = changes(source)
        self.used: set[str] = set()

    def _changed(self, figure: Figure) -> Figure:
        row = self.changes.get(figure.name)
        if not row:
            return figure
        self.used.add(figure.name)
        return replace(
            figure,
            written=row["written"],
            value=row["value"],
            unit=row["unit"] or figure.unit,
            fault=row["fault"],
            true_value=row["true_value"],
            true_unit=UNITS[row["true_unit"]][0],
        )

    def _figure(self, inside: str, defaults: tuple[str, ...] = ()) -> Piece:
        written, *rest = inside.split("|")
        if rest and rest[0] == "skip":
            return written
        name = ""
        if written.startswith("#"):
            name, written = written[1:].split(" ", 1)
        given = [*rest, "", "", "", "", "", ""][:6]
        base = [*defaults, "", "", "", "", "", ""][:6]
        unit, bound, parameter, condition, time, value = (g or b for g, b in zip(given, base))
        time = "" if time == "0" or parameter == "time limit" else time
        parameter, _, qualifier = parameter.partition("~")
        return self._changed(
            Figure(written, unit, bound, parameter, condition, time, value, name, qualifier)
        )

    def close(self) -> None:
        """Raises where a change names no figure of the text."""
        if missing := set(self.changes) - self.used:
            raise ValueError(f"changes for no figure of the text: {sorted(missing)}")

    def inline(self, text: str, defaults: tuple[str, ...] = ()) -> Inline:
        """Pieces of a run of prose."""
        pieces: list[Piece] = []
        for part in re.split(r"(\{[^}]*\})", text):
            if part.startswith("{"):
                pieces.append(self._figure(part[1:-1], defaults))
            elif part:
                pieces.append(part)
        return tuple(pieces)

    def cell(self, text: str, column: list[str], row: tuple[str, str]) -> Inline:
        """Pieces of a table cell, under its column's unit and its row's condition."""
        text = text.strip()
        unit, bound, parameter = [*column, "", "", ""][:3]
        # A fourth word "=flaps_up" on the column gives its condition in the row's stead.
        condition = column[3][1:].replace("_", " ") if len(column) > 3 else row[0]
        if "{" in text or unit in ("-", "") or text in ("-", ""):
            return self.inline("—" if text == "-" else text)
        if not re.search(r"\d", text) or not re.match(r"#|[+\-.\d]", text):
            return (text,)
        bare = text.rstrip("*†")
        figure = self._figure(bare, (unit, bound, parameter.replace("_", " "), condition, row[1]))
        return (figure, text[len(bare) :]) if len(bare) < len(text) else (figure,)


def _lines(name: str, edition: str) -> Iterator[str]:
    for line in (SCRIPT / name).read_text(encoding="utf-8").splitlines():
        if line.startswith("#") or not line.strip():
            continue
        if line.startswith(("@first ", "@second ")):
            which, line = line[1:].split(" ", 1)
            if which != edition:
                continue
        yield line


def _read_table(first: str, lines: Iterator[str], markup: Markup) -> Table:
    _, style, *columns = first.split()
    look, _, key = style.partition(":")
    widths, aligns = zip(*((float(c[:-2]), c[-1]) for c in columns))
    table = Table(look == "ruled", key, widths, aligns)
    for line in lines:
        word, _, rest = line.partition(" ")
        if word == "@end":
            return table
        if word == "@deck":
            cells = [cell.strip().partition(">") for cell in rest.split("&")]
            table.decks.append([(markup.inline(text), int(span or 1)) for text, _, span in cells])
        elif word == "@col":
            table.columns.append(rest.split())
        elif word == "@rule":
            table.rows.append(None)
        else:
            head, body = rest.split(" | ", 1)
            condition, _, time = head.partition(";")
            row = ("" if condition == "-" else condition.strip(), time)
            table.rows.append(
                [markup.cell(c, col, row) for c, col in zip(body.split("&"), table.columns)]
            )
    raise ValueError("a table without @end")


def read_handbook(edition: str, source: str) -> list[Page]:
    """Pages of one edition of the handbook ("first" or "second")."""
    markup = Markup(source)
    pages: list[Page] = []
    lines = _lines("handbook.txt", edition)
    skipping = False
    for line in lines:
        word, _, rest = line.partition(" ")
        if word == "@page":
            skipping = rest.startswith("second ") and edition != "second"
            rest = rest.removeprefix("second ")
            head = None if rest == "cover" else tuple(part.strip() for part in rest.split("|"))
            if not skipping:
                pages.append(Page(head, []))  # type: ignore[arg-type]
            continue
        if skipping:
            continue
        blocks = pages[-1].blocks
        if word == "@transcribe":
            pages[-1].transcribe = True
        elif word == "@space":
            blocks.append(Block("space", amount=float(rest)))
        elif word == "@rule":
            blocks.append(Block("rule"))
        elif word == "@table":
            blocks.append(Block("table", table=_read_table(line, lines, markup)))
        elif word == "!slip":
            inside = []
            for line in lines:
                if line == "!end":
                    break
                inside.append(Block("typed", markup.inline(line[2:])))
            blocks.append(Block("slip", label=rest, blocks=tuple(inside)))
        elif word == ".":
            label, value = rest.split(" ... ")
            blocks.append(Block("leader", markup.inline(label), markup.inline(value)))
        elif word == "-":
            label, body = rest.split(" ", 1)
            blocks.append(Block("item", markup.inline(body), label=label))
        elif word in ("h", "^", "^^", "@small", "@note"):
            blocks.append(Block(word.lstrip("@"), markup.inline(rest)))
        else:
            blocks.append(Block("prose", markup.inline(line)))
    markup.close()
    _number_contents(pages)
    return pages


def _number_contents(pages: list[Page]) -> None:
    # A leader whose value is "@PART I" asks for the page on which that part begins.
    starts: dict[str, int] = {}
    for number, page in enumerate(pages, 1):
        if page.head:
            starts.setdefault(page.head[0], number)
    for page in pages:
        for at, block in enumerate(page.blocks):
            if block.value and isinstance(first := block.value[0], str) and first[0] == "@":
                page.blocks[at] = replace(block, value=(str(starts[first[1:]]),))
