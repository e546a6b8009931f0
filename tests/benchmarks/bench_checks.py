"""How well figures are compared, and how long a large dossier takes to check.

Run as ``python tests/benchmarks/bench_checks.py [LIMITS]``. Prints the score of `compare`
on the labelled pairs of tests/checks/pairs.json and on pairs of seeds not used for tuning,
then CPU seconds for 10,000 limits in each of five witnesses, and for a quarter of them.
"""

from __future__ import annotations

import random
import sys
import time
from dataclasses import replace
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT)]

from reconcile.checks import check, tally  # noqa: E402
from reconcile.records import Witness  # noqa: E402
from tests.checks.build_pairs import main as build_pairs  # noqa: E402
from tests.checks.pairs import load_pairs, score  # noqa: E402
from tests.checks.planted import Cell, machine, print_witness  # noqa: E402


def large(limits: int, copies: int, *, apart: bool = True, seed: int = 11) -> list[Witness]:
    """A dossier of `limits` limits in each of `copies` witnesses, one in 200 misread.

    `apart`: every section names its own condition; else the same keys recur all through.
    """
    rng = random.Random(seed)
    cells = []
    number = 0
    while sum(c.twin_of is None for c in cells) < limits:
        number += 1
        base = len(cells)
        for cell in machine(rng):
            twin = None if cell.twin_of is None else cell.twin_of + base
            where = f"section {number}"
            column = (where, *cell.column) if cell.column else ()
            condition = f"{cell.condition or 'normal'}, {where}"
            cells.append(
                replace(
                    cell,
                    twin_of=twin,
                    column=column,
                    condition=condition if apart else cell.condition,
                )
            )
    witnesses = []
    for copy in range(copies):
        mine = list(cells)
        if copy:
            for at in rng.sample(range(len(mine)), len(mine) // 200):
                mine[at] = _spoilt(mine[at])
        witnesses.append(print_witness(mine, f"w{copy}", "manual" if not copy else "transcription"))
    return witnesses


def _spoilt(cell: Cell) -> Cell:
    return replace(cell, digits=cell.digits.replace("5", "6", 1).replace("2", "7", 1))


def report(pairs: list, name: str) -> None:
    """One line of the score."""
    n, _ = score(pairs)
    print(
        f"{name}: {n['pairs']} pairs, verdict {n['verdict']}, conflicts {n['found']} of "
        f"{n['conflicts']}, false alarms {n['false alarms']} of {n['clean']}, cause first "
        f"{n['cause first']}, in three {n['cause in three']}, value first {n['value first']}"
    )


def main() -> None:
    """Print everything."""
    report(load_pairs(), "labelled")
    for seed in (101, 102, 103):
        report(build_pairs(seed=seed, rounds=6), f"seed {seed}")
    limits = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    for size, apart in ((limits // 4, True), (limits, True), (limits // 4, False), (limits, False)):
        witnesses = large(size, 5, apart=apart)
        began = time.process_time()
        findings = check(witnesses)
        took = time.process_time() - began
        counts = {k: v for k, v in tally(witnesses, findings).items() if v}
        total = sum(len(w.limits) for w in witnesses)
        keys = "own" if apart else "recurring"
        print(
            f"{size} limits x 5 witnesses, {keys} keys: {took:.2f} s CPU; {total} limits, {counts}"
        )


if __name__ == "__main__":
    main()
