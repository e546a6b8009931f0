"""A thousand known faults planted in clean limit tables: found, missed, named right.

Run as ``python tests/benchmarks/bench_faults.py [FAULTS]``. Prints two tables, for a manual
alone and for a manual with a copy that carries the fault, and the alarms raised on clean
tables. What no check can see is listed by kind of figure: a figure that is printed once,
in one unit, stands in no order, sum or column, and stays credible when spoilt.
"""

from __future__ import annotations

import sys
from collections import Counter
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2])]

from tests.checks.planted import false_alarms, weigh_plants  # noqa: E402

SEED = 20440


def main() -> None:
    """Print the tables."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 1000
    for copies, name in ((0, "one manual"), (1, "a manual and a copy with the fault")):
        table, misses = weigh_plants(count, SEED + copies, copies)
        alarms, limits, _ = false_alarms(1000, SEED + 10, copies)
        print(f"\n{name}: {count} faults")
        print(f"{'fault':28} planted  found  missed  named  value")
        for cause, row in sorted(table.items()):
            print(
                f"{cause:28} {row['planted']:7} {row['found']:6} {row['missed']:7} "
                f"{row['named']:6} {row['valued']:6}"
            )
        total = sum(table.values(), Counter())
        print(
            f"{'all':28} {total['planted']:7} {total['found']:6} {total['missed']:7} "
            f"{total['named']:6} {total['valued']:6}"
        )
        print(f"alarms on clean tables: {1000 * alarms / limits:.2f} per 1,000 limits ({limits})")
        unseen = Counter((m.cause, m.kind_of_figure) for m in misses)
        for (cause, figure), times in unseen.most_common(12):
            print(f"  unseen: {cause} in {figure}, {times}")


if __name__ == "__main__":
    main()
