"""Start to exit of ``reconcile figure`` beside a bare typer + pint conversion, in one run.

Run: ``python tests/benchmarks/bench_start.py``. The two are interleaved, so that a change of
the machine's mood hits both; the ratio is what counts.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

BARE = """
import typer
app = typer.Typer()
@app.command()
def convert(value: float):
    import pint
    registry = pint.UnitRegistry(cache_folder=":auto:")
    print(registry.Quantity(value, "psi").to("kPa"))
@app.command()
def other():
    pass
app()
"""
ROUNDS = 15


def timed(command: list[str]) -> float:
    began = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - began


def main() -> None:
    """Print the medians and the ratio."""
    with tempfile.TemporaryDirectory() as folder:
        script = Path(folder) / "bare.py"
        script.write_text(BARE)
        cases = {
            "python -c pass": [sys.executable, "-c", "pass"],
            "typer + pint, one conversion": [sys.executable, str(script), "convert", "6"],
            "reconcile figure": [sys.executable, "-m", "reconcile", "figure", "+6 lb/sq.in. boost"],
            "reconcile --help": [sys.executable, "-m", "reconcile", "--help"],
        }
        times: dict[str, list[float]] = {name: [] for name in cases}
        for _ in range(ROUNDS):
            for name, command in cases.items():
                times[name].append(timed(command))
    medians = {name: statistics.median(values) for name, values in times.items()}
    for name, median in medians.items():
        print(f"{name:32} {1000 * median:7.1f} ms")
    ratio = medians["reconcile figure"] / medians["typer + pint, one conversion"]
    print(f"reconcile figure / typer + pint  {ratio:7.2f}  (bar 1.5)")


if __name__ == "__main__":
    main()
