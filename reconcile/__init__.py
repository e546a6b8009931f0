"""Reads the figures of old machine manuals, proves them, and issues verified limit tables.

The names below are the package's public face; each is loaded when first used, so that
importing the package costs next to nothing.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

from reconcile.version import __version__

_HOME = {
    "Figure": "reconcile.records",
    "Finding": "reconcile.records",
    "Limit": "reconcile.records",
    "Reading": "reconcile.records",
    "ReconcileError": "reconcile.errors",
    "binding_limits": "reconcile.publish.binding",
    "compare": "reconcile.checks.compare",
    "figure": "reconcile.reading",
    "load_profile": "reconcile.publish.profile",
    "load_table": "reconcile.publish.load",
    "read_text": "reconcile.reading",
}

__all__ = [
    "Figure",
    "Finding",
    "Limit",
    "Reading",
    "ReconcileError",
    "__version__",
    "binding_limits",
    "compare",
    "figure",
    "load_profile",
    "load_table",
    "read_text",
]

if TYPE_CHECKING:
    from reconcile.checks.compare import compare
    from reconcile.errors import ReconcileError
    from reconcile.publish.binding import binding_limits
    from reconcile.publish.load import load_table
    from reconcile.publish.profile import load_profile
    from reconcile.reading import figure, read_text
    from reconcile.records import Figure, Finding, Limit, Reading


def __getattr__(name: str) -> Any:
    if name in _HOME:
        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module 'reconcile' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
