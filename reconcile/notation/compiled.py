"""Vocabulary tables compiled ahead, so that reading a first line costs no table work.

``python -m reconcile.notation.compiled`` writes ``tables/notation/compiled/*.json`` from the
tables. Each file begins with the digest of the tables it was made from; where that does not
fit, the tables are compiled in memory instead, so a stale file costs time and never a
reading. Phrases stand one line for each word they can begin with, and a line is decoded when
its word is first met: a text uses few of the thousands.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Sequence
from hashlib import blake2b
from typing import Any

from reconcile.reference import check_tables, table_path, tables_dir

FORMAT = "4"
"""Raised when what is compiled changes shape."""


READ = (
    "kinds/plausible", "notation/changes", "notation/combinations", "notation/company",
    "notation/compositions", "notation/defaults", "notation/forms", "notation/grid_marks",
    "notation/misheard", "notation/numerals", "notation/restrictions", "notation/subjects",
    "notation/tradition-marks",
    "notation/usual", "notation/usual-bounds", "notation/usual-conditions",
    "notation/usual-elsewhere", "notation/usual-in-tables", "notation/word-sets", "units/units",
)  # fmt: skip
"""Tables that reading a text loads as they are."""


def digest_of(tables: Sequence[str]) -> str:
    """Digest of the tables named, as they stand on disk."""
    digest = blake2b(FORMAT.encode(), digest_size=16)
    for name in tables:
        digest.update(table_path(name).read_bytes())
    return digest.hexdigest()


def load_compiled(name: str, tables: Sequence[str], build: Callable[[], Any]) -> Any:
    """The compiled form `name` of some tables: from its file where that is current.

    Parameters
    ----------
    name : str
        Of the file under ``tables/notation/compiled``.
    tables : sequence of str
        Tables it is made from, e.g. ``"notation/units"``.
    build : callable
        Makes it from the tables.

    Returns
    -------
    compiled : dict
        As `build` makes it, but that what stands under "roots" is still JSON text.
    """
    try:
        stored = (tables_dir() / "notation" / "compiled" / f"{name}.json").read_bytes()
        digest, _, body = stored.partition(b"\n")
        if digest.decode("ascii") == digest_of(tables):
            whole, _, lines = body.decode("utf-8").partition("\n")
            compiled = json.loads(whole)
            if lines:
                cells = lines.rstrip("\n").replace("\n", "\t").split("\t")
                compiled["roots"] = dict(zip(cells[::2], cells[1::2], strict=True))
            return compiled
    except (OSError, ValueError):
        pass
    return build()


def compiled_text(tables: Sequence[str], build: Callable[[], Any]) -> str:
    """What the file of a compiled form holds."""
    compiled = dict(build())
    roots = compiled.pop("roots", {})
    lines = [digest_of(tables), _json(compiled)]
    lines += [f"{word}\t{_json(node)}" for word, node in sorted(roots.items())]
    return "".join(f"{line}\n" for line in lines)


def write_compiled(name: str, tables: Sequence[str], build: Callable[[], Any]) -> int:
    """Write the compiled form `name`; its size in bytes."""
    folder = tables_dir() / "notation" / "compiled"
    folder.mkdir(exist_ok=True)
    data = compiled_text(tables, build).encode()
    (folder / f"{name}.json").write_bytes(data)
    return len(data)


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":"))


def main() -> None:
    """Compile every vocabulary table."""
    from reconcile.notation.lexicon import PLANS

    for name, (tables, build) in PLANS.items():
        print(f"{name}: {write_compiled(name, tables, build)} bytes", file=sys.stderr)
    print(f"{len(check_tables(READ))} tables checked", file=sys.stderr)


if __name__ == "__main__":
    main()
