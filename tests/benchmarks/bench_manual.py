"""From a 200-page manual to checked limits, beside pdfplumber listing its words, in one run.

Run: ``python tests/benchmarks/bench_manual.py [PAGES]``. Memory is the growth of the peak over
the pages, for a book five times as long.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from pathlib import Path

from reportlab.pdfgen.canvas import Canvas

from reconcile.checks import check
from reconcile.witnesses import read_witness

PROSE = (
    "The oil pressure should be {a} lb./sq.in. and must not fall below {b} lb./sq.in.",
    "Run up to {c} r.p.m. at zero boost and test each magneto in turn; the drop should",
    "not exceed 150 r.p.m. Oil temperature 15°C. minimum, 90°C. maximum in the climb.",
    "For take-off use {d} r.p.m. and +{e} lb./sq.in. boost, 5 minutes limit.",
    "The tanks hold {f} gallons each side. Undercarriage down below {g} m.p.h. I.A.S.",
)
TABLE = (
    "                     R.p.m.    Boost        Temp. °C.",
    "                               lb./sq.in.   Coolant   Oil",
    "Take-off (5 mins.)   {d}      +{e}           135       90",
    "Climb (1 hour)       2,600     +6           125       90",
    "Max. continuous      2,400     +4           105       90",
)


def make_manual(path: Path, pages: int) -> None:
    """Write a manual of prose and tables set in Courier."""
    canvas = Canvas(str(path), invariant=1)
    for n in range(pages):
        numbers = {
            "a": 70 + n % 20,
            "b": 50 + n % 10,
            "c": f"{1500 + 10 * (n % 40):,}",
            "d": f"{2800 + 5 * (n % 20):,}",
            "e": 8 + n % 5,
            "f": 120 + n % 60,
            "g": 150 + n % 30,
        }
        canvas.setFont("Courier", 8)
        y = 780
        for line in (*PROSE * 4, "", *TABLE, "", *PROSE * 3):
            canvas.drawString(50, y, line.format(**numbers))
            y -= 11
        canvas.drawString(290, 30, str(n + 1))
        canvas.showPage()
    canvas.save()


def main() -> None:
    """Print the times, the ratio and the growth of memory."""
    pages = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "manual.pdf"
        make_manual(path, pages)
        began = time.perf_counter()
        witness = read_witness(path, tradition="british")
        read = time.perf_counter()
        findings = check([witness])
        ours = time.perf_counter() - began
        print(
            f"pages {pages}, figures {len(witness.figures)}, limits {len(witness.limits)}, "
            f"findings {len(findings)}"
        )
        print(f"reconcile, file to checked limits  {ours:7.2f} s (reading {read - began:.2f} s)")
        import pdfplumber

        began = time.perf_counter()
        words = 0
        with pdfplumber.open(path) as book:
            for page in book.pages:
                words += len(page.extract_words())
                page.close()
        theirs = time.perf_counter() - began
        print(f"pdfplumber, {words} words           {theirs:7.2f} s")
        print(f"ratio                               {ours / theirs:7.2f}  (bar 1)")
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        from reconcile.pages import read_page
        from reconcile.sources import read_source

        make_manual(path, 5 * pages)
        _, stream = read_source(path)
        figures = sum(len(read_page(page, tradition="british").figures) for page in stream)
        after = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        print(
            f"{5 * pages} pages streamed, {figures} figures: peak {after / 1024:.0f} MiB, "
            f"{(after - before) / 1024:+.0f} MiB"
        )


if __name__ == "__main__":
    main()
