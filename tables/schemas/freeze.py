"""Writes the schema files of the current version; run once, before its release.

A released version's files are never written again: raise SCHEMA_VERSION instead, and give
the loader a way up from the older one.
"""

from __future__ import annotations

import json
from pathlib import Path

from reconcile.publish.rows import SCHEMA_VERSION
from reconcile.publish.schemas import make_all_schemas

FOLDER = Path(__file__).parent / SCHEMA_VERSION


def main() -> None:
    """Write every schema of the current version."""
    FOLDER.mkdir(exist_ok=True)
    for name, schema in make_all_schemas(SCHEMA_VERSION).items():
        text = json.dumps(schema, ensure_ascii=False, indent=1) + "\n"
        (FOLDER / f"{name}.json").write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
