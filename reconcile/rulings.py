"""The rulings of a dossier: an append-only file that loses nothing it has acknowledged.

One JSON object a line. Each carries the digest of the one before, so that a line changed,
moved or taken out afterwards is noticed. A ruling is acknowledged only when it is on the
disk (``fsync`` of the file, and of its folder when the file is new); a process killed
before that can leave half a line at the end, which was never acknowledged: it is put
aside in a file of its own, not thrown away, before the next ruling is written.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterable
from dataclasses import asdict, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Literal, get_args

from reconcile.errors import RefusedRulingError, RulingError
from reconcile.records import Ruling

Decision = Literal["accept", "emend", "reject", "leave open"]
DECISIONS: tuple[str, ...] = get_args(Decision)


def _digest(ruling: Ruling) -> str:
    plain = asdict(replace(ruling, digest=""))
    return hashlib.sha256(
        json.dumps(plain, sort_keys=True, ensure_ascii=False).encode()
    ).hexdigest()


def _parse_line(path: Path, number: int, line: bytes, previous: str) -> Ruling:
    where = f"{path.name}, line {number}"
    mend = "restore the file from a copy; rulings after this line cannot be trusted"
    try:
        ruling = Ruling(**json.loads(line.decode()))
    except (ValueError, TypeError):
        raise RulingError("not a ruling", where=where, do=mend) from None
    if ruling.previous != previous or ruling.digest != _digest(ruling):
        raise RulingError(
            "the chain of rulings is broken: this line, or the one before it, was changed",
            where=where,
            do=mend,
        )
    return ruling


def read_rulings(path: Path) -> tuple[Ruling, ...]:
    """All acknowledged rulings, oldest first.

    Raises
    ------
    RulingError
        A line is not a ruling, or the hash chain is broken; names the line.
    """
    try:
        lines = path.read_bytes().split(b"\n")
    except FileNotFoundError:
        return ()
    rulings: list[Ruling] = []
    for number, line in enumerate(lines[:-1], 1):  # what follows the last newline is torn
        previous = rulings[-1].digest if rulings else ""
        rulings.append(_parse_line(path, number, line, previous))
    return tuple(rulings)


def _put_torn_tail_aside(path: Path) -> None:
    content = path.read_bytes() if path.exists() else b""
    tail = content[content.rfind(b"\n") + 1 :]
    if not tail:
        return
    spare = path.with_name(f"{path.stem}-torn-{hashlib.sha256(tail).hexdigest()[:8]}.txt")
    spare.write_bytes(tail)
    with path.open("r+b") as stream:
        stream.truncate(len(content) - len(tail))
        os.fsync(stream.fileno())


def append_ruling(
    path: Path,
    target: str,
    decision: str,
    *,
    who: str,
    reading: str = "",
    reason: str = "",
    when: str = "",
) -> Ruling:
    """Write one ruling; when this returns, it is on the disk.

    Parameters
    ----------
    path : Path
        The dossier's rulings file.
    target : str
        Id of the figure or limit ruled on.
    decision : str
        "accept", "emend", "reject" or "leave open".
    who : str
        The person ruling; a ruling without a name is refused.
    reading : str
        The reading to adopt; needed by "emend".
    reason : str
        Why, in the person's own words.
    when : str
        ISO 8601 time; default now, in UTC.

    Raises
    ------
    RefusedRulingError
        Unknown decision, no name, or an emendation without a reading.
    RulingError
        The chain of the rulings already there is broken.
    """
    from filelock import FileLock

    if decision not in DECISIONS:
        raise RefusedRulingError(f"{decision!r} is not a decision", expected=", ".join(DECISIONS))
    if not who.strip():
        raise RefusedRulingError(
            "a ruling needs the name of the person who makes it", do="give --who NAME"
        )
    if decision == "emend" and not reading.strip():
        raise RefusedRulingError(
            "an emendation needs the reading to adopt", do="give --reading TEXT"
        )
    with FileLock(path.with_name(path.name + ".lock")):
        _put_torn_tail_aside(path)
        earlier = read_rulings(path)
        ruling = Ruling(
            number=len(earlier) + 1,
            who=who.strip(),
            when=when or datetime.now(UTC).isoformat(timespec="seconds"),
            target=target,
            decision=decision,  # type: ignore[arg-type]
            reading=reading,
            reason=reason,
            previous=earlier[-1].digest if earlier else "",
        )
        ruling = replace(ruling, digest=_digest(ruling))
        line = json.dumps(asdict(ruling), ensure_ascii=False) + "\n"
        is_new = not path.exists()
        with path.open("ab") as stream:
            stream.write(line.encode())
            stream.flush()
            os.fsync(stream.fileno())
        if is_new:
            _sync_folder(path.parent)
    return ruling


def _sync_folder(folder: Path) -> None:
    if os.name != "posix":  # other systems cannot open a folder, and order the entry themselves
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def latest_rulings(rulings: Iterable[Ruling]) -> dict[str, Ruling]:
    """The ruling in force for each target: the last one made."""
    return {ruling.target: ruling for ruling in rulings}
