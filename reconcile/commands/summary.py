"""What a person reads at the end of the whole job."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from pathlib import Path

from reconcile.commands.show import place, proposal
from reconcile.publish.rows import STANDINGS, LimitTable
from reconcile.records import STATUSES, Finding

_MOST_CONTRADICTIONS = 40


def write_summary(table: LimitTable, files: Sequence[tuple[Path, str]]) -> None:
    """Print counts, each contradiction in a line with its emendation, and the files."""
    figures = {row.figure.id: row for row in table.rows}
    statuses = Counter(row.figure.status for row in figures.values())
    print(table.title)
    print("=" * len(table.title))
    print(f"Sources   {len(table.sources)}: " + ", ".join(s.name for s in table.sources))
    print(f"Figures   {len(figures)}: " + ", ".join(f"{statuses[s]} {s}" for s in STATUSES))
    counts = table.count()
    print(f"Limits    {len(table.rows)}: " + ", ".join(f"{counts[s]} {s}" for s in STANDINGS))
    bad = [f for f in table.findings if f.verdict == "contradicts"]
    print(f"\nContradictions ({len(bad)}), each with the likeliest emendation:")
    for finding in bad[:_MOST_CONTRADICTIONS]:
        print(f"  - {_line(finding, table)}")
    if len(bad) > _MOST_CONTRADICTIONS:
        print(f"  ... and {len(bad) - _MOST_CONTRADICTIONS} more: reconcile check FOLDER")
    for remark in table.notes:
        print(f"Note: {remark}")
    print("\nFiles:")
    for path, holds in files:
        print(f"  {path}  {holds}")
    print("\nCautions:")
    for caution in table.cautions:
        print(f"  {caution}")


def _line(finding: Finding, table: LimitTable) -> str:
    where = ""
    for row in table.rows:
        if row.figure.id in finding.figure_ids or row.limit_id in finding.limit_ids:
            where = place(row.figure, row.source) + ": "
            break
    text = where + finding.evidence
    if finding.emendations:
        text += f" -> {proposal(finding.emendations[0], finding.evidence)}"
    return text
