"""CPU time of issuing 10,000 different rows in every data format, imports left out.

Run: ``python tests/benchmarks/bench_publish.py [ROWS]``. The aim is under 5 s for 10,000.
"""

from __future__ import annotations

import sys
import tempfile
import time
from fractions import Fraction
from pathlib import Path

from reconcile.measure.quantity import Quantity
from reconcile.publish import formats
from reconcile.publish.document import make_document
from reconcile.publish.rows import LimitTable, build_table
from reconcile.records import Figure, Finding, Limit, Place, Source, Witness

KINDS = (
    ("boost", "[psi]", "pressure", "fixed_datum", "lb/sq.in."),
    ("engine speed", "{rev}/min", "rotational_speed", "none", "r.p.m."),
    ("oil pressure", "[psi]", "pressure", "gauge", "lb/sq.in."),
    ("oil temperature", "Cel", "temperature", "none", "°C."),
    ("fuel capacity", "[gal_br]", "volume", "none", "gallons"),
)
BOUNDS = ("max", "min", "range", "nominal", "approx")


def make_table(rows: int) -> LimitTable:
    """A table of `rows` rows, no two of the same number, two thirds of them verified."""
    source = Source("s1", "book.pdf", "ab" * 32, "pdf", title="A book", tradition="british")
    figures, limits, findings = {}, [], []
    for n in range(rows):
        parameter, unit, kind, form, words = KINDS[n % 5]
        bound = BOUNDS[n // 5 % 5]
        value = 10 + Fraction(n, 4)
        ends = (value, value + 7) if bound == "range" else (None, None)
        text = f"{float(value):g} {words}"
        box = (72.0, 10.0 + n % 700, 130.25, 20.0 + n % 700)
        figures[f"f{n}"] = Figure(
            f"f{n}",
            (n, n + len(text)),
            text,
            Quantity(
                None if bound == "range" else value,
                *ends,
                unit=unit,
                kind=kind,
                form=form,  # type: ignore[arg-type]
                resolution=Fraction(1, 4),
            ),
            place=Place("s1", n // 40 + 1, n % 40 + 1, (n, n + len(text)), box, how="text layer"),
        )
        limits.append(
            Limit(
                f"l{n}",
                parameter,
                "climb",
                bound,  # type: ignore[arg-type]
                (f"f{n}",),
                Fraction(300),
            )
        )
        if n % 3:
            findings.append(Finding("order", "agrees", f"row {n} ascends", (f"l{n}",), (f"f{n}",)))
    return build_table("A book", [Witness(source, figures, tuple(limits))], findings)


def main() -> None:
    """Print the CPU time of each step and the total."""
    rows = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    with tempfile.TemporaryDirectory() as name:
        # Imports, the compiled unit rows and the frozen schemas are there before the clock.
        formats.write_every_data_format(make_table(10), Path(name) / "warm")
        table = make_table(rows)
        folder = Path(name)
        begin = start = time.process_time()
        document = make_document(table)
        print(f"{'document':45} {time.process_time() - start:6.2f} s")
        for file, write, _ in formats.FORMATS:
            start = time.process_time()
            write(document, folder / file)
            print(f"{file:45} {time.process_time() - start:6.2f} s")
        print(f"{f'total for {rows} rows':45} {time.process_time() - begin:6.2f} s")


if __name__ == "__main__":
    main()
