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
    "add_sources": "reconcile.dossier",
    "binding_limits": "reconcile.publish.binding",
    "check_dossier": "reconcile.work",
    "compare": "reconcile.checks.compare",
    "dial_svg": "reconcile.dials",
    "figure": "reconcile.reading",
    "find_gauge": "reconcile.dials",
    "isa": "reconcile.measure.atmosphere",
    "load_profile": "reconcile.publish.profile",
    "load_table": "reconcile.publish.load",
    "make_dossier": "reconcile.dossier",
    "make_marks": "reconcile.dials",
    "make_table": "reconcile.work",
    "open_dossier": "reconcile.dossier",
    "read_back": "reconcile.publish.readback",
    "read_dossier": "reconcile.work",
    "read_text": "reconcile.reading",
    "write_all": "reconcile.publish",
}

__all__ = [
    "Figure",
    "Finding",
    "Limit",
    "Reading",
    "ReconcileError",
    "__version__",
    "add_sources",
    "binding_limits",
    "check_dossier",
    "compare",
    "dial_svg",
    "figure",
    "find_gauge",
    "isa",
    "load_profile",
    "load_table",
    "make_dossier",
    "make_marks",
    "make_table",
    "open_dossier",
    "read_back",
    "read_dossier",
    "read_text",
    "write_all",
]

if TYPE_CHECKING:
    from reconcile.checks.compare import compare
    from reconcile.dials import dial_svg, find_gauge, make_marks
    from reconcile.dossier import add_sources, make_dossier, open_dossier
    from reconcile.errors import ReconcileError
    from reconcile.measure.atmosphere import isa
    from reconcile.publish import write_all
    from reconcile.publish.binding import binding_limits
    from reconcile.publish.load import load_table
    from reconcile.publish.profile import load_profile
    from reconcile.publish.readback import read_back
    from reconcile.reading import figure, read_text
    from reconcile.records import Figure, Finding, Limit, Reading
    from reconcile.work import check_dossier, make_table, read_dossier


def __getattr__(name: str) -> Any:
    if name in _HOME:
        return getattr(import_module(_HOME[name]), name)
    raise AttributeError(f"module 'reconcile' has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted(__all__)
