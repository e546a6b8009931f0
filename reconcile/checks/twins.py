"""Check *twins*: the same value printed in two units must be one value.

Needs: two figures of one kind in different units, side by side in a witness, that limit
the same thing. Abstains: where a figure is unread, where words stand between the two, or
where their conditions differ. Source: the conversion factors of tables/units.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from reconcile.checks.compare import compare_in
from reconcile.checks.context import Context
from reconcile.checks.material import Material
from reconcile.records import Finding


def check_twins(material: Material) -> Iterator[Finding]:
    """Findings on every figure and its twin, agreeing or not."""
    plain = Context()
    for statements in material.statements:
        for statement in statements:
            for other in statement[1:]:
                one = statement[0]
                finding = compare_in(
                    one.figure,
                    other.figure,
                    plain,
                    parameter=one.limit.parameter,
                    twins=True,
                    rivals=True,
                )
                limits = dict.fromkeys((one.limit.id, other.limit.id))
                yield replace(finding, check="twins", limit_ids=tuple(limits))
