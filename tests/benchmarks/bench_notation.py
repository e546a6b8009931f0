"""Lines a second of reading, beside a bare scan for number and unit, and a general parser.

Run as ``python tests/benchmarks/bench_notation.py``. The texts are the labelled sets of
tests/corpus, dense with figures (about 2.5 a line), and pages of a manual, where most lines
hold none. The bare scan is one compiled pattern that knows no meaning: what reading could
cost at least. The general-purpose parser is quantulum3, where it is installed.
"""

from __future__ import annotations

import json
import re
import sys
import time
from collections.abc import Callable
from pathlib import Path

from reconcile import read_text

PAGE = """Before the engine is started the pilot should make sure that the cowlings are fast, that
the chocks are in place and that nobody stands near the propeller. The priming pump is worked
until resistance is felt, and the ignition switched on only then. As soon as the engine runs,
look at the oil pressure gauge: 40 lb./sq. in. should show within 30 seconds, or the engine
must be stopped and the cause found. Warm up at 1,000 r.p.m. with the radiator shutter closed,
and do not open the throttle before the oil has reached 15 °C.

While taxying keep an eye on the temperatures, which rise quickly on a hot day with the wind
behind. The brakes should be used as little as possible. In the climb the mixture is kept
rich; a boost of +6 lb./sq. in. may be held for an hour, and the airspeed should not fall
below 140 m.p.h. Once the height is reached, close the shutter little by little.

"""
"""Running text such as manuals have, a figure every third line."""
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
    pages = [(PAGE * 10, "british")] * 20
    rate = _rate(read_text, pages, 3)
    print(f"read_text, pages of a manual                  {rate:12,.0f} lines/s")
    for name, texts in (("labelled sets", items), ("pages of a manual", pages)):
        scan = _rate(lambda text, _: _SCAN.findall(text), texts, 5)
        print(f"bare scan for number and unit, {name:18} {scan:9,.0f} lines/s")
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
