"""The rooms know only those before them, and nobody knows the command line."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import reconcile

ROOT = Path(reconcile.__file__).parent
MODULES = sorted(ROOT.rglob("*.py"))

# Each room with the rooms it may import, besides its own modules.
BASE = {"records", "errors", "reference", "version"}
MAY = {
    "records": {"measure"},  # for the type checker alone; see test_records_import_nobody
    "errors": set(),
    "version": set(),
    "reference": {"errors"},
    "measure": BASE,
    "notation": BASE | {"measure"},
    "limits": BASE | {"measure", "notation"},
    "sources": {"records", "errors", "reference"},
    "reading": BASE | {"measure", "notation", "limits"},
    "pages": BASE | {"notation", "reading"},
    "witnesses": BASE | {"pages", "sources"},
    "checks": BASE | {"measure", "notation", "limits"},
    "publish": BASE | {"measure", "notation", "limits", "checks", "dials", "sources"},
    "dials": BASE | {"measure", "notation", "limits", "checks"},
    "rulings": {"records", "errors"},
    "dossier": BASE | {"rulings", "witnesses"},
    "emending": BASE | {"measure", "reading"},
    "work": BASE | {"emending", "dossier", "reading", "checks", "publish"},
}
TOP = {"cli", "commands", "entry", "__init__", "__main__"}


def room_of(module: str) -> str:
    parts = module.split(".")
    return parts[1] if len(parts) > 1 else "__init__"


def imports_of(path: Path) -> set[str]:
    """Rooms a module imports anywhere, type-checking blocks left out."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    skip: set[ast.AST] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            skip.update(ast.walk(node))
    rooms = set()
    for node in ast.walk(tree):
        if node in skip:
            continue
        if isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            if node.module == "reconcile":
                rooms.update(f"reconcile.{alias.name}" for alias in node.names)
            else:
                rooms.add(node.module)
        elif isinstance(node, ast.Import):
            rooms.update(alias.name for alias in node.names)
    return {room_of(m) for m in rooms if m == "reconcile" or m.startswith("reconcile.")}


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_point_downwards(path: Path) -> None:
    """A module imports only its own room and the rooms before it."""
    room = path.relative_to(ROOT).parts[0].removesuffix(".py")
    if room in TOP:
        return
    assert room in MAY, f"{room} is a new room: say in MAY which rooms it may import"
    assert imports_of(path) - {room} <= MAY[room]


def test_records_import_nobody() -> None:
    """The records stand alone."""
    assert imports_of(ROOT / "records.py") == set()


def test_nobody_imports_the_command_line() -> None:
    """Only the entry point knows the command line."""
    for path in MODULES:
        if path.name not in ("entry.py", "cli.py"):
            assert "cli" not in imports_of(path), path
