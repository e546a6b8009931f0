"""Makes the demo dossier's sources and their truth from the marked-up texts in script/.

Run from the project: ``python tables/demo/make_demo.py [FOLDER]``. Every file is written
from one list of figures, the same list the truth is written from. Nothing depends on the
day or the machine, so the files come out the same, byte for byte, each time.
Everything here is invented: aircraft, engine, makers, places, persons.
"""

from __future__ import annotations

import csv
import io
import re
import sys
import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE))

from markup import (  # noqa: E402
    SCRIPT,
    Figure,
    Inline,
    Markup,
    Page,
    read_handbook,
    values_of,
)
from typeset import figures_of, printed, set_handbook  # noqa: E402
from typewriter import typed, typed_copy  # noqa: E402

FIRST = "handbook-first-edition.pdf"
SECOND = "handbook-second-edition.pdf"
TYPED = "typed-transcription.txt"
ALOUD = "read-aloud.txt"
FOREIGN = "foreign-report.md"
SHEET = "performance.csv"

TRUTH_COLUMNS = (
    "id",
    "source",
    "page",
    "time_s",
    "order",
    "as_written",
    "nominal",
    "lo",
    "hi",
    "plus_minus",
    "unit",
    "kind",
    "reference_form",
    "bound",
    "parameter",
    "condition",
    "qualifier",
    "time_limit_s",
    "fault",
    "true_value",
    "true_unit",
)


@dataclass(frozen=True)
class Placed:
    """A figure where it stands in a source."""

    source: str
    page: int
    figure: Figure
    written: str
    time_s: int | None = None


def number_text(value: Fraction | None) -> str:
    """An exact number as a decimal where it ends, else as a fraction."""
    if value is None:
        return ""
    for places in range(8):
        scaled = value * 10**places
        if scaled.denominator == 1:
            sign = "-" if scaled < 0 else ""
            digits = str(abs(scaled.numerator)).rjust(places + 1, "0")
            return sign + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)
    return str(value)


# -- the transcript ----------------------------------------------------------------------


@dataclass(frozen=True)
class Said:
    """One line of the transcript."""

    start_s: int
    end_s: int
    inline: Inline

    @property
    def text(self) -> str:
        """The words alone."""
        return "".join(p.written if isinstance(p, Figure) else p for p in self.inline)


def read_said() -> list[Said]:
    """Lines of the transcript with their times."""
    markup = Markup(ALOUD)
    rows = []
    for line in (SCRIPT / ALOUD).read_text(encoding="utf-8").splitlines():
        if line and not line.startswith("#"):
            seconds, text = line.split(" | ", 1)
            rows.append((int(seconds), markup.inline(text)))
    markup.close()
    ends = [seconds for seconds, _ in rows[1:]] + [rows[-1][0] + 4]
    return [Said(start, end, inline) for (start, inline), end in zip(rows, ends)]


def stamp(seconds: int, mark: str) -> str:
    """A caption's time, ``mark`` before the thousandths."""
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{mark}000"


def transcript_files(said: list[Said]) -> dict[str, str]:
    """The transcript in its three formats, by file name."""
    plain = [f"[{line.start_s // 60}:{line.start_s % 60:02}] {line.text}" for line in said]
    srt, vtt = [], ["WEBVTT", ""]
    for number, line in enumerate(said, 1):
        words = textwrap.fill(line.text, 42)
        times = [(stamp(line.start_s, mark), stamp(line.end_s, mark)) for mark in ",."]
        srt += [str(number), " --> ".join(times[0]), words, ""]
        vtt += [" --> ".join(times[1]), words, ""]
    return {
        ALOUD: "\n".join(plain) + "\n",
        "read-aloud.srt": "\n".join(srt),
        "read-aloud.vtt": "\n".join(vtt),
    }


# -- the foreign paper and the sheet -----------------------------------------------------


def foreign_report() -> tuple[str, list[Figure]]:
    """Markdown of the foreign paper, and its figures in order."""
    markup = Markup(FOREIGN)
    lines: list[str] = []
    figures: list[Figure] = []
    columns: list[list[str]] = []
    for line in (SCRIPT / "foreign-report.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith("# ") and not lines and "HALVERNE" not in line:
            continue
        word, _, rest = line.partition(" ")
        if word == "@cols":
            columns = [column.split(",") for column in rest.split()]
            continue
        if word == "@row":
            head, body = rest.split(" | ", 1)
            condition, _, time = head.partition(";")
            cells = _split_cells(body)
            inlines = [
                markup.cell(cell, columns[min(at, len(columns) - 1)], (condition, time))
                for at, cell in enumerate(cells)
            ]
            lines.append("| " + " | ".join(_plain(cell) for cell in inlines) + " |")
        else:
            inlines = [markup.inline(line)]
            lines.append(_plain(inlines[0]))
        figures += [p for cell in inlines for p in cell if isinstance(p, Figure)]
    markup.close()
    return "\n".join(lines) + "\n", figures


def _split_cells(body: str) -> list[str]:
    # A bar inside braces belongs to a figure's markup.
    return re.split(r"\s*\|\s*(?![^{]*\})", body.strip())


def _plain(inline: Iterable[str | Figure]) -> str:
    return "".join(piece.written if isinstance(piece, Figure) else piece for piece in inline)


def performance_sheet(pages: list[Page]) -> tuple[str, list[Figure]]:
    """The table of level speeds as a sheet, and its figures in order."""
    table = next(
        block.table
        for page in pages
        for block in page.blocks
        if block.table and block.table.key == "level"
    )
    stream = io.StringIO(newline="")
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(
        [
            "Height (ft.)",
            "Temperature (°C.)",
            "Pressure (in. Hg)",
            "T.A.S. (m.p.h.)",
            "I.A.S. (m.p.h.)",
            "Fuel, four engines (galls./hr.)",
            "Miles per gallon",
        ]
    )
    figures: list[Figure] = []
    for row in table.rows:
        writer.writerow([_plain(cell) for cell in row or ()])
        figures += [p for cell in row or () for p in cell if isinstance(p, Figure)]
    return stream.getvalue(), figures


# -- truth and files ---------------------------------------------------------------------


def truth_rows(placed: Iterable[Placed]) -> Iterator[dict[str, str]]:
    """One row of truth per figure of each source."""
    orders: dict[tuple[str, int], int] = {}
    for item in placed:
        key = (item.source, item.page)
        orders[key] = orders.get(key, 0) + 1
        figure = item.figure
        nominal, lo, hi, spread = values_of(figure, comma=item.source == FOREIGN)
        yield dict(
            zip(
                TRUTH_COLUMNS,
                (
                    f"{item.source}#{item.page}.{orders[key]}",
                    item.source,
                    str(item.page),
                    "" if item.time_s is None else str(item.time_s),
                    str(orders[key]),
                    item.written,
                    *(number_text(value) for value in (nominal, lo, hi, spread)),
                    figure.ucum,
                    figure.kind,
                    figure.form,
                    figure.bound,
                    figure.parameter,
                    figure.condition,
                    figure.qualifier,
                    figure.time,
                    figure.fault,
                    figure.true_value,
                    figure.true_unit,
                ),
            )
        )


def make(folder: Path) -> None:
    """Writes ``sources/`` and ``truth.csv`` under `folder`."""
    sources = folder / "sources"
    sources.mkdir(parents=True, exist_ok=True)
    placed: list[Placed] = []
    editions = {}
    for name, edition, words in (
        (FIRST, "first", "First edition, March 1943"),
        (SECOND, "second", "Second edition, November 1943"),
    ):
        pages = editions[edition] = read_handbook(edition, name)
        set_handbook(pages, sources / name, "Halverne Mark II: Handbook of Figures", words)
        placed += [
            Placed(name, number, figure, printed(figure))
            for number, page in enumerate(pages, 1)
            for block in page.blocks
            for figure in figures_of(block)
        ]
    texts = {}
    texts[TYPED], figures = typed_copy(read_handbook("first", TYPED))
    placed += [Placed(TYPED, 1, figure, typed(figure)) for figure in figures]
    said = read_said()
    for name, text in transcript_files(said).items():
        texts[name] = text
        placed += [
            Placed(name, 1, piece, piece.written, line.start_s)
            for line in said
            for piece in line.inline
            if isinstance(piece, Figure)
        ]
    texts[FOREIGN], figures = foreign_report()
    placed += [Placed(FOREIGN, 1, figure, figure.written) for figure in figures]
    texts[SHEET], figures = performance_sheet(editions["first"])
    placed += [Placed(SHEET, 1, figure, figure.written) for figure in figures]
    for name, text in texts.items():
        (sources / name).write_text(text, encoding="utf-8", newline="\n")
    with (folder / "truth.csv").open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, TRUTH_COLUMNS, lineterminator="\n")
        writer.writeheader()
        writer.writerows(truth_rows(placed))


if __name__ == "__main__":
    make(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE)
