"""Reads a made-up 200-page manual beside pdfplumber's word list, and 1,000 pages for memory.

Run from the project's folder: python tests/benchmarks/bench_sources.py [--pages 200]
Prints milliseconds a page, their ratio in the same run, and the growth of memory.
"""

from __future__ import annotations

import argparse
import random
import resource
import statistics
import tempfile
import time
from pathlib import Path
from typing import Any

from reconcile.notation.grid import find_grids
from reconcile.sources import read_source

TEXT = (
    "the engine is opened up slowly and oil pressure must not fall below its normal figure "
    "while boost control valve airscrew are in full fine position before climbing with "
    "radiator shutters open until temperature of coolant has settled"
)
WORDS = TEXT.split()


def _sentence(rng: random.Random) -> str:
    words = [rng.choice(WORDS) for _ in range(rng.randint(5, 9))]
    figure = rng.choice(
        (f"{rng.randrange(1800, 3000, 50):,} r.p.m.", f"+{rng.randint(1, 12)} lb./sq.in.",
         f"{rng.randint(40, 130)}°C.", f"{rng.randint(2, 30)} minutes")
    )  # fmt: skip
    return " ".join([*words, figure, *(rng.choice(WORDS) for _ in range(3))])


def _table(paper: Any, rng: random.Random, y: float, ruled: bool) -> float:
    rows = [("Condition", "R.p.m.", "Boost", "Oil °C.")]
    rows += [
        (name, f"{rng.randrange(2000, 3000, 50):,}", f"+{rng.randint(1, 12)}",
         str(rng.randint(60, 100)))
        for name in ("Take-off", "Climb (1 hr.)", "Rich continuous", "Weak continuous", "Combat")
    ]  # fmt: skip
    xs = [40, 150, 220, 290, 360]
    if ruled:
        paper.grid(xs, [y + 12 - 15 * n for n in range(len(rows) + 1)])
    for n, row in enumerate(rows):
        for x, cell in zip(xs, row):
            paper.drawString(x + 3, y - 15 * n, cell)
    return y - 15 * len(rows) - 10


def make_manual(path: Path, pages: int) -> None:
    """An A5 manual: prose, every third page a ruled table, every third an unruled one."""
    from reportlab.pdfgen import canvas

    rng = random.Random(pages)
    paper = canvas.Canvas(str(path), pagesize=(420, 595))
    for number in range(1, pages + 1):
        paper.setFont("Courier" if number % 2 else "Times-Roman", 9)
        y = 550.0
        if number % 3:
            y = _table(paper, rng, y, ruled=number % 3 == 1)
        while y > 60:
            paper.drawString(40, y, _sentence(rng)[:62])
            y -= 12
        paper.drawCentredString(210, 30, f"- {number} -")
        paper.showPage()
    paper.save()


def read_ours(path: Path) -> int:
    """Words read with their places."""
    return sum(len(page.words) for page in read_source(path)[1])


def read_pdfplumber(path: Path) -> int:
    """Words listed by pdfplumber, each page let go."""
    import pdfplumber

    count = 0
    with pdfplumber.open(path) as pdf:
        for page in pdf.pages:
            count += len(page.extract_words())
            page.close()
    return count


def _timed(work: Any, path: Path, repeats: int) -> tuple[float, int]:
    spent = []
    for _ in range(repeats):
        start = time.perf_counter()
        count = work(path)
        spent.append(time.perf_counter() - start)
    return statistics.median(spent), count


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--pages", type=int, default=200)
    parser.add_argument("--repeats", type=int, default=3)
    options = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "manual.pdf"
        make_manual(path, options.pages)
        ours, words = _timed(read_ours, path, options.repeats)
        theirs, listed = _timed(read_pdfplumber, path, options.repeats)
        print(f"{options.pages} pages, {words} words read, {listed} listed by pdfplumber")
        print(f"read_source         {1000 * ours / options.pages:6.2f} ms a page")
        print(f"pdfplumber words    {1000 * theirs / options.pages:6.2f} ms a page")
        print(f"ratio               {ours / theirs:6.2f} of pdfplumber's time")
        pages = list(read_source(path)[1])
        start = time.perf_counter()
        grids = sum(len(find_grids(page.text)) for page in pages)
        spent = time.perf_counter() - start
        lines = sum(page.text.count("\n") + 1 for page in pages)
        print(f"find_grids          {1e6 * spent / lines:6.2f} us a line, {grids} grids")
        prose = "Open up to 2,850 r.p.m. and see that the oil pressure is above 60 lb./sq.in.\n"
        start = time.perf_counter()
        find_grids(prose * 20_000)
        print(f"find_grids, prose   {1e6 * (time.perf_counter() - start) / 20_000:6.2f} us a line")
        long = Path(folder) / "long.pdf"
        make_manual(long, 1000)
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        start = time.perf_counter()
        read_ours(long)
        after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        print(
            f"1,000 pages         {time.perf_counter() - start:6.2f} s, peak memory "
            f"{after / 1024:.0f} MiB, {(after - before) / 1024:.1f} MiB above the 200 pages"
        )


if __name__ == "__main__":
    main()
