"""Short texts of each tradition and what an old hand reads in them (golden.json)."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from reconcile import read_text
from reconcile.records import Figure

ITEMS = json.loads(Path(__file__).with_name("golden.json").read_text(encoding="utf-8"))


def _value(figure: Figure) -> str:
    if figure.lo is not None and figure.nominal is None:
        return f"{figure.lo}..{figure.hi}"
    return str(figure.nominal)


def _written(value: str) -> str:
    return "..".join(str(Fraction(part)) for part in value.split(".."))


@pytest.mark.parametrize("item", ITEMS, ids=lambda item: item["text"][:40])
def test_golden_text(item: dict[str, Any]) -> None:
    """Each figure has its span, value, unit, reference form, parameter and bound."""
    reading = read_text(item["text"], item["tradition"])
    limits = {fid: lim for lim in reading.limits for fid in lim.figure_ids}
    found = [
        [
            f.as_written.rstrip("."), _value(f), f.unit, f.reference_form,
            limits[f.id].parameter, _plain(limits[f.id].bound),
        ]
        for f in reading.figures
    ]  # fmt: skip
    wanted = [
        [span.rstrip("."), _written(value), unit, form, parameter, _plain(bound)]
        for span, value, unit, form, parameter, bound in item["figures"]
    ]
    assert found == wanted
    assert all(f.status == "read" for f in reading.figures)


def _plain(bound: str) -> str:
    # A rating with no bound word may be called a maximum or a plain value.
    return "nominal" if bound == "max" else bound


def test_figures_and_limits_answer_each_other() -> None:
    """Every figure has one limit, every limit its figures, and ids last from run to run."""
    text = "Boost +8 lb. (5 mins.) and 3,000 r.p.m.; oil 80 lb./sq.in."
    one, two = read_text(text, "british"), read_text(text, "british")
    assert one == two
    ids = [f.id for f in one.figures]
    assert len(set(ids)) == len(ids)
    assert sorted(fid for limit in one.limits for fid in limit.figure_ids) == sorted(ids)
