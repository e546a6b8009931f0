"""Scores a reading of the labelled texts under tests/corpus, figure by figure.

The texts are invented, in the manner of seven traditions; each label says what a figure's
value, unit, reference form, bound, parameter, condition and time limit are. They gauge how
well the grammar generalises; the checks against published sources stand elsewhere.
"""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

import reconcile
from reconcile.errors import ReconcileError
from reconcile.measure.units import UnitRow, unit_row
from reconcile.records import Figure, Reading

CORPUS = Path(__file__).parent / "corpus"
UNSTATED = {None, "normal", "minimum", "maximum", "desired"}
TWINS = {
    "[gal_br]": "[gal_us]",
    "[pt_br]": "[pt_us]",
    "[qt_br]": "[qt_us]",
    "[gal_br]/h": "[gal_us]/h",
    "[gal_br]/min": "[gal_us]/min",
}


@dataclass
class Score:
    """Counts of one run, and the lines that explain what was missed."""

    n: Counter[str] = field(default_factory=Counter)
    misses: list[str] = field(default_factory=list)

    def share(self, part: str, whole: str) -> float:
        """`part` of `whole`, 1 where there was none to get right."""
        return self.n[part] / self.n[whole] if self.n[whole] else 1.0

    @property
    def recall(self) -> float:
        """Share of the true figures read right."""
        return self.share("right", "true")

    @property
    def precision(self) -> float:
        """Share of the figures given a value that are right."""
        return self.share("right", "given")

    @property
    def silent(self) -> float:
        """Wrong or invented figures among those given out as plainly read, per 1,000."""
        return 1000 * self.share("silent", "read")


def load_items(name: str) -> list[dict[str, Any]]:
    """The labelled items of one file of tests/corpus."""
    with (CORPUS / name).open(encoding="utf-8") as stream:
        return [json.loads(line) for line in stream if line.strip()]


def _row(code: str) -> UnitRow | None:
    try:
        return unit_row(code)
    except ReconcileError:
        return None


def _same(a: Fraction | None, ua: str, b: float | None, ub: str, delta: bool = False) -> bool:
    if a is None or b is None:
        return a is None and b is None
    if ua == ub:
        return abs(float(a) - b) <= 1e-9 * max(1.0, abs(b))
    one, other = _row(ua), _row(ub)
    if one is None or other is None or one.si_unit != other.si_unit:
        return False
    x = float(a) * float(one.factor) + (0 if delta else float(one.offset))
    y = b * float(other.factor) + (0 if delta else float(other.offset))
    # "Atm." of a tyre or bottle often means the technical atmosphere.
    tolerance = 0.035 if "atm" in (ua, ub) else 1e-6
    return abs(x - y) <= tolerance * max(abs(x), abs(y), 1e-12)


def _is_void(label: dict[str, Any]) -> bool:
    return label["nominal"] is None and label["lo"] is None and label["hi"] is None


def _value_right(figure: Figure, label: dict[str, Any], unit: str) -> bool:
    u = figure.unit
    if label["nominal"] is None:
        return _same(figure.lo, u, label["lo"], unit) and _same(figure.hi, u, label["hi"], unit)
    if not _same(figure.nominal, u, label["nominal"], unit):
        return False
    if label["plus_minus"] is not None:
        return _same(figure.plus_minus, u, label["plus_minus"], unit, delta=True)
    if label["lo"] is None and label["hi"] is None:
        return True
    return _same(figure.lo, u, label["lo"], unit) and _same(figure.hi, u, label["hi"], unit)


def _overlap(a: tuple[int, int], b: list[int]) -> float:
    common = min(a[1], b[1]) - max(a[0], b[0])
    return max(0, common) / max(1, min(a[1] - a[0], b[1] - b[0]))


def _pair(reading: Reading, labels: list[dict[str, Any]]) -> dict[int, int]:
    """Label index to figure index, best overlap first."""
    found = sorted(
        (-_overlap(f.span, g["span"]), abs(i - j), i, j)
        for i, f in enumerate(reading.figures)
        for j, g in enumerate(labels)
        if _overlap(f.span, g["span"]) >= 0.5
    )
    pairs: dict[int, int] = {}
    used: set[int] = set()
    for _, _, i, j in found:
        if i not in used and j not in pairs:
            used.add(i)
            pairs[j] = i
    return pairs


def score(items: list[dict[str, Any]]) -> Score:
    """Read every item and count."""
    out = Score()
    for item in items:
        _score_item(item, reconcile.read_text(item["text"], item["tradition"]), out)
    return out


def _score_item(item: dict[str, Any], reading: Reading, out: Score) -> None:
    n = out.n
    labels = item["figures"]
    pairs = _pair(reading, labels)
    limits = {fid: limit for limit in reading.limits for fid in limit.figure_ids}
    for i, figure in enumerate(reading.figures):
        if i not in pairs.values() and figure.status != "unread" and figure.quantity.is_read:
            n["given"] += 1
            n["read"] += figure.status == "read"
            n["silent"] += figure.status == "read"
            out.misses.append(f"{item['id']}: no such figure: {figure.as_written!r}")
    for j, label in enumerate(labels):
        figure = reading.figures[pairs[j]] if j in pairs else None
        if _is_void(label):
            ok = figure is not None and (
                figure.status in ("unread", "ambiguous") or not figure.quantity.is_read
            )
            n["voids"] += 1
            n["void_right"] += ok
            if not ok:
                out.misses.append(f"{item['id']}: illegible {label['as_written']!r} not kept so")
            continue
        n["true"] += 1
        n["damaged"] += label["damaged"]
        if figure is None or figure.status == "unread" or not figure.quantity.is_read:
            out.misses.append(f"{item['id']}: not read: {label['as_written']!r}")
            continue
        n["given"] += 1
        n["read"] += figure.status == "read"
        units = [label["unit"]]
        if item["tradition"] == "unknown":
            for a, b in TWINS.items():
                units += [b] * (label["unit"] == a) + [a] * (label["unit"] == b)
        if not any(_value_right(figure, label, unit) for unit in units):
            n["silent"] += figure.status == "read"
            out.misses.append(
                f"{item['id']}: {label['as_written']!r} ({figure.status}) -> {figure.quantity}"
            )
            continue
        n["right"] += 1
        n["damaged_right"] += label["damaged"]
        if label["kind"] == "pressure":
            form = figure.reference_form
            wanted = label["reference"].replace("sea_level_datum", "fixed_datum")
            n["pressures"] += 1
            n["form_right"] += form == wanted or {form, wanted} == {"below_ambient", "differential"}
        limit = limits.get(figure.id)
        n["parameter_right"] += limit is not None and limit.parameter == label["parameter"]
        said = limit.condition if limit else None
        n["condition_right"] += said == label["condition"] or {said, label["condition"]} <= UNSTATED
        if label["kind"] != "altitude":
            n["bounds"] += 1
            # A rating with no bound word may be called a maximum or a plain value.
            n["bound_right"] += limit is not None and (
                limit.bound == label["bound"] or {limit.bound, label["bound"]} == {"max", "nominal"}
            )
        if label["time_limit_s"] is not None:
            n["timed"] += 1
            n["timed_right"] += limit is not None and limit.time_limit_s == label["time_limit_s"]


_PARTS = (
    ("void", "void_right", "voids"),
    ("damaged", "damaged_right", "damaged"),
    ("form", "form_right", "pressures"),
    ("bound", "bound_right", "bounds"),
    ("parameter", "parameter_right", "right"),
    ("condition", "condition_right", "right"),
    ("time", "timed_right", "timed"),
)


def main() -> None:
    """Print the score of every set."""
    for path in sorted(CORPUS.glob("*.jsonl")):
        found = score(load_items(path.name))
        parts = ", ".join(f"{name} {found.share(a, b):.3f}" for name, a, b in _PARTS)
        print(
            f"{path.stem}: recall {found.recall:.3f}, precision {found.precision:.3f}, "
            f"silent per 1,000 {found.silent:.1f}, {parts}"
        )


if __name__ == "__main__":
    main()
