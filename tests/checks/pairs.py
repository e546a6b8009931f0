"""Reads pairs.json into figures, and scores `compare` on them."""

from __future__ import annotations

import json
from collections import Counter
from fractions import Fraction
from pathlib import Path

from reconcile.checks.compare import compare
from reconcile.measure.quantity import Quantity
from reconcile.records import Figure


def load_pairs(name: str = "pairs.json") -> list[dict]:
    """The labelled pairs."""
    return json.loads(Path(__file__).with_name(name).read_text(encoding="utf-8"))


def as_figure(cells: dict, key: str = "a") -> Figure:
    """A figure as a reader would have made it."""
    quantity = Quantity(
        nominal=Fraction(cells["nominal"]),
        lo=None,
        hi=None,
        plus_minus=None,
        unit=cells["unit"],
        kind=cells["kind"],
        form=cells["form"],
        resolution=Fraction(cells["resolution"]),
    )
    written = cells["as_written"]
    return Figure(key, (0, len(written)), written, quantity)


def same_value(proposed: Figure | None, true: dict | None) -> bool:
    """Whether the proposal says what the paper ought to say, in comparable SI."""
    if proposed is None or true is None:
        return proposed is None and true is None
    from reconcile.checks.rounding import judge
    from reconcile.checks.sides import side_of

    ours, theirs = side_of(proposed), side_of(as_figure(true))
    return judge(ours, theirs) != "contradicts"


def score(pairs: list[dict]) -> tuple[Counter, list[tuple]]:
    """Counts of what was right, and the misses."""
    n: Counter = Counter()
    misses = []
    for pair in pairs:
        a, b = as_figure(pair["a"], "a"), as_figure(pair["b"], "b")
        finding = compare(a, b, context=pair["context"])
        right = finding.verdict == pair["verdict"]
        n["pairs"] += 1
        n["verdict"] += right
        conflict = pair["verdict"] == "contradicts"
        n["conflicts"] += conflict
        n["found"] += conflict and finding.verdict == "contradicts"
        n["clean"] += not conflict
        n["false alarms"] += not conflict and finding.verdict == "contradicts"
        if not right:
            misses.append((pair["id"], "verdict", finding.verdict, pair["verdict"]))
        if conflict and finding.emendations:
            causes = [e.cause for e in finding.emendations]
            first = finding.emendations[0]
            n["cause first"] += causes[0] == pair["cause"]
            n["cause in three"] += pair["cause"] in causes[:3]
            good = same_value(first.proposed, pair["proposed"])
            n["value first"] += good
            if causes[0] != pair["cause"] or not good:
                said = first.proposed and f"{float(first.proposed.nominal):g} {first.proposed.unit}"
                true = (
                    pair["proposed"] and f"{pair['proposed']['nominal']} {pair['proposed']['unit']}"
                )
                misses.append(
                    (
                        pair["id"],
                        pair["a"]["as_written"],
                        pair["b"]["as_written"],
                        pair["context"],
                        "true:",
                        pair["cause"],
                        true,
                        "said:",
                        [f"{e.cause} {e.odds:.2f}" for e in finding.emendations[:3]],
                        said,
                        "VALUE" if not good else "",
                    )
                )
    return n, misses


if __name__ == "__main__":
    counts, missed = score(load_pairs())
    for miss in missed:
        print(*miss, sep=" | ")
    print(dict(counts))
