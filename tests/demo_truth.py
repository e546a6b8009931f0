"""Sets what was read from the demo's sources against the truth that lies beside them."""

from __future__ import annotations

import csv
import re
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from fractions import Fraction

from reconcile.measure.quantity import Quantity
from reconcile.records import Figure, Witness
from reconcile.reference import tables_dir


@dataclass
class Account:
    """How the figures of one source came out."""

    source: str
    right: int = 0
    marked: int = 0
    """Not right, but marked: repaired, ambiguous or unread."""
    silent: list[str] = field(default_factory=list)
    """Given out as plainly read, and wrong."""
    missing: list[str] = field(default_factory=list)
    """In the truth, and not among the figures."""
    extra: list[str] = field(default_factory=list)
    """Given out as plainly read, and no figure of the truth."""
    doubted: list[str] = field(default_factory=list)
    """Given out as doubtful, and no figure of the truth."""
    pairs: list[tuple[dict[str, str], Figure]] = field(default_factory=list)
    """Each row of the truth with the figure it was matched to."""


def truth_rows() -> Iterator[dict[str, str]]:
    """The rows of the demo's truth."""
    with (tables_dir() / "demo" / "truth.csv").open(encoding="utf-8", newline="") as stream:
        yield from csv.DictReader(stream)


def _plain(text: str) -> str:
    return re.sub(r"[\s.]+", "", text).casefold()


def _number(cell: str) -> Fraction | None:
    return Fraction(cell) if cell else None


def is_right(figure: Figure, row: dict[str, str]) -> bool:
    """Whether the figure says in SI what the truth's row says was printed."""
    wanted = Quantity(_number(row["nominal"]), _number(row["lo"]), _number(row["hi"]),
                      _number(row["plus_minus"]), row["unit"], row["kind"],
                      row["reference_form"] or "none")  # type: ignore[arg-type]  # fmt: skip
    if not wanted.is_read:
        return not figure.quantity.is_read or figure.status in ("unread", "ambiguous")
    if not figure.quantity.is_read:
        return False
    a, b = figure.si, wanted.si
    if a.unit != b.unit or figure.reference_form != wanted.form:
        return False
    for x, y in ((a.nominal, b.nominal), (a.lo, b.lo), (a.hi, b.hi)):
        if (x is None) != (y is None):
            return False
        if x is not None and y is not None and abs(x - y) > 1e-6 * max(abs(x), abs(y), 1e-9):
            return False
    return True


def account(witness: Witness) -> Account:
    """Match one witness's figures to the truth, page by page and in order."""
    truth = defaultdict(list)
    for row in truth_rows():
        if row["source"] == witness.source.name:
            truth[int(row["page"] or 1)].append(row)
    timed = witness.source.role == "transcript"
    read = defaultdict(list)
    for figure in witness.figures.values():
        read[1 if timed else figure.place.page].append(figure)
    if timed:
        truth = defaultdict(list, {1: [row for rows in truth.values() for row in rows]})
    out = Account(witness.source.name)
    for page in sorted({*truth, *read}):
        _match(out, page, truth[page], sorted(read[page], key=lambda f: (f.place.page, f.span)))
    return out


def _match(out: Account, page: int, rows: list[dict[str, str]], figures: list[Figure]) -> None:
    a = [_plain(row["as_written"]) for row in rows]
    b = [_plain(figure.as_written) for figure in figures]
    taken: set[int] = set()
    left: list[int] = []
    pairs: list[tuple[int, int]] = []
    for tag, i0, i1, j0, j1 in SequenceMatcher(None, a, b, autojunk=False).get_opcodes():
        if tag == "equal":
            pairs += zip(range(i0, i1), range(j0, j1))
        else:
            left += range(i0, i1)
    taken.update(j for _, j in pairs)
    for i in left:
        # The span may differ by a word, or the reading order of columns by a column.
        free = [j for j in range(len(b)) if j not in taken]
        found = next((j for j in free if b[j] == a[i]), None)
        if found is None:
            found = next((j for j in free if b[j] and (b[j] in a[i] or a[i] in b[j])), None)
        if found is None:
            out.missing.append(f"p. {page}: {rows[i]['as_written']!r} ({rows[i]['parameter']})")
        else:
            taken.add(found)
            pairs.append((i, found))
    for i, j in pairs:
        figure, row = figures[j], rows[i]
        out.pairs.append((row, figure))
        if is_right(figure, row):
            out.right += 1
        elif figure.status == "read":
            out.silent.append(
                f"p. {page}: {figure.as_written!r} read as {figure.quantity}, "
                f"truth {row['nominal'] or row['lo'] + ':' + row['hi']} "
                f"{row['unit']} {row['reference_form']} ({row['parameter']})"
            )
        else:
            out.marked += 1
    for j, figure in enumerate(figures):
        if j not in taken:
            plain = figure.status == "read"
            into = out.extra if plain else out.doubted
            into.append(f"p. {page}: {figure.as_written!r} read as {figure.quantity}")


def main() -> None:
    """Print the account of every source of the demo."""
    from reconcile.dossier import open_dossier

    for entry, witness in open_dossier(tables_dir() / "demo").witnesses():
        if not isinstance(witness, Witness):
            print(entry.file, witness)
            continue
        a = account(witness)
        print(
            f"{a.source}: {a.right} right, {a.marked} marked, {len(a.silent)} silent, "
            f"{len(a.missing)} missing, {len(a.extra)} extra, {len(a.doubted)} doubted"
        )
        for name in ("silent", "missing", "extra", "doubted"):
            for line in getattr(a, name):
                print(f"   {name}: {line}")


if __name__ == "__main__":
    main()
