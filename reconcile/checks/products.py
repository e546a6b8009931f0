"""Check *products*: consumption x time, ratio x revolutions, volume x specific gravity.

Needs: a result and all its factors under one condition in one witness. Abstains: where a
factor is missing, a range, or stated twice with different values. Source:
tables/checks/relations, each row with its own.
"""

from __future__ import annotations

from collections.abc import Iterator

from reconcile.checks.material import Material
from reconcile.checks.relations import check_relations
from reconcile.records import Finding


def check_products(material: Material) -> Iterator[Finding]:
    """Findings on figures that are a product of others."""
    yield from check_relations(material, "products")
