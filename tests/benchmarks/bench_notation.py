"""Lines a second of reading, beside a bare scan for number and unit, and a general parser.

Run as ``python tests/benchmarks/bench_notation.py``. The texts are the labelled sets of
tests/corpus, dense with figures (about 2.5 a line), and plain prose made of their lines. The
bare scan is one compiled pattern that knows no meaning: what reading could cost at least. The
general-purpose parser is quantulum3, where it is installed.
"""

from __future__ import annotations

import json
import re
import sys
import time
from collections.abc import Callable
from pathlib import Path

from reconcile import read_text

CORPUS = Path(__file__).parent.parent / "corpus"
_SCAN = re.compile(
    r"[+-]?\d[\d.,]*\s*(?:to|-|–)?\s*(?:\d[\d.,]*)?\s*"
    r"(?:lb\.?/sq\.? ?in\.?|lbs?\.?|r\.?p\.?m\.?|m\.?p\.?h\.?|in\.? ?Hg\.?|°\s?[CF]|gal\w*|ft\.?|kg\S*|atü?|ata)",  # noqa: E501
    re.I,
)


def _items() -> list[tuple[str, str]]:
    found = []
    for name in ("second-english.jsonl", "second-continental.jsonl"):
        for line in (CORPUS / name).read_text(encoding="utf-8").splitlines():
            item = json.loads(line)
            found.append((item["text"], item["tradition"]))
    return found


def _rate(read: Callable[[str, str], object], items: list[tuple[str, str]], times: int) -> float:
    lines = sum(text.count("\n") + 1 for text, _ in items)
    best = float("inf")
    for _ in range(times):
        began = time.perf_counter()
        for text, tradition in items:
            read(text, tradition)
        best = min(best, time.perf_counter() - began)
    return lines / best


def main() -> None:
    """Print one line a reader."""
    items = _items()
    began = time.perf_counter()
    for text, tradition in items:
        read_text(text, tradition)
    cold = sum(text.count("\n") + 1 for text, _ in items) / (time.perf_counter() - began)
    print(f"read_text, first pass with vocabulary loading {cold:12,.0f} lines/s")
    print(
        f"read_text                                     {_rate(read_text, items, 5):12,.0f} lines/s"
    )
    scan = _rate(lambda text, _: _SCAN.findall(text), items, 5)
    print(f"bare scan for number and unit                 {scan:12,.0f} lines/s")
    try:
        from quantulum3 import parser
    except ImportError:
        print("quantulum3 is not installed", file=sys.stderr)
        return
    few = items[:40]
    rate = _rate(lambda text, _: parser.parse(text), few, 1)
    print(f"quantulum3, general purpose                   {rate:12,.0f} lines/s")


if __name__ == "__main__":
    main()
