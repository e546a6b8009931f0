"""Proof of what was read: checks, collation, emendation.

`check` runs every check of the registry on a dossier's witnesses;
`reconcile.checks.compare` sets two figures against each other; `reconcile.checks.collate`
aligns the limits of witnesses. The names below load when first used.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

_HOME = {
    "check": "reconcile.checks.registry",
    "check_rows": "reconcile.checks.registry",
    "emend_figure": "reconcile.checks.emend",
    "group_limits": "reconcile.checks.collate",
    "tally": "reconcile.checks.registry",
    "write_apparatus": "reconcile.checks.collate",
}

__all__ = [
    "check",
    "check_rows",
    "emend_figure",
    "group_limits",
    "tally",
    "write_apparatus",
]

if TYPE_CHECKING:
    from reconcile.checks.collate import group_limits, write_apparatus
    from reconcile.checks.emend import emend_figure
    from reconcile.checks.registry import check, check_rows, tally


def __getattr__(name: str) -> Any:
    if name in _HOME:
        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module 'reconcile.checks' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
