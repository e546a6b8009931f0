"""Check *instrument*: a limit beyond the dial it is read on.

Needs: the paper's own statement of a dial's range (a limit whose condition or notes speak
of the dial, scale or graduation) and limits of the same parameter in that witness.
Abstains: where no dial is described. Source: the paper itself; the words are rows of
tables/checks/dial_words. Agreement proves nothing and is not reported.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from reconcile.checks.material import Entry, Material
from reconcile.checks.rounding import last_place_half
from reconcile.checks.show import end_sentence, show_value
from reconcile.records import Finding
from reconcile.reference import load_rows


@cache
def dial_words() -> tuple[str, ...]:
    """Words that say a range is that of a dial."""
    return tuple(row["word"] for row in load_rows("checks/dial_words"))


def is_dial(entry: Entry) -> bool:
    """Whether the entry states the range of an instrument."""
    said = " ".join((entry.limit.condition or "", *entry.limit.notes, *entry.figure.qualifiers))
    low = said.lower()
    return bool(low) and any(word in low for word in dial_words())


def check_instrument(material: Material) -> Iterator[Finding]:
    """Findings on limits that the described dial cannot show."""
    for named in material.by_parameter:
        for entries in named.values():
            dials = [e for e in entries if e.side and len(e.side.ends) == 2 and is_dial(e)]
            for dial in dials:
                yield from _beyond(dial, [e for e in entries if e not in dials])


def _beyond(dial: Entry, limits: list[Entry]) -> Iterator[Finding]:
    assert dial.side is not None
    low, high = min(dial.side.si), max(dial.side.si)
    for entry in limits:
        side = entry.side
        if side is None or side.kind != dial.side.kind:
            continue
        slack = last_place_half(side)
        out = [si for si in side.si if si < low - slack or si > high + slack]
        if not out:
            continue
        yield Finding(
            "instrument",
            "in doubt",
            end_sentence(f"{entry.told} cannot be read on a dial of {dial.told}"),
            limit_ids=(entry.limit.id, dial.limit.id),
            figure_ids=(entry.figure.id, dial.figure.id),
            seen=entry.told,
            expected=f"within {dial.told}",
            difference_si=float(max(max(out) - high, low - min(out))),
            steps=(
                f"dial: {show_value(low, side)} to {show_value(high, side)}",
                f"limit: {', '.join(show_value(o, side) for o in out)}",
            ),
        )
