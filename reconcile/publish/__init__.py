"""Limits, findings and rulings issued as files other programs and people use."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

    from reconcile.publish.rows import LimitTable


def write_all(table: LimitTable, folder: Path, *, source_folder: Path) -> list[tuple[Path, str]]:
    """Write every format of a limit table into `folder`.

    Parameters
    ----------
    table : LimitTable
    folder : Path
        Made where it does not stand yet.
    source_folder : Path
        Where the source files lie, for crops of their pages.

    Returns
    -------
    list of (Path, str)
        Each file written for a reader to open, and what it holds.
    """
    from reconcile.publish.formats import write_every_format

    return write_every_format(table, folder, source_folder=source_folder)
