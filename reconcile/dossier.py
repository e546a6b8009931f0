"""A dossier: one folder with the sources of one machine and the rulings made on them.

::

    dossier.toml     title, and one [[source]] for each file
    sources/         the files themselves, never changed
    rulings.jsonl    what a person decided (see `reconcile.rulings`)
    made/            everything derived; may be deleted and made again
"""

from __future__ import annotations

import shutil
import tomllib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from reconcile.errors import DossierError, MissingSourceError, SourceError, UnknownTermError
from reconcile.records import TRADITIONS, Ruling, Witness
from reconcile.rulings import append_ruling, read_rulings

ROLES = ("manual", "edition", "transcription", "transcript", "paper")
_META = ("title", "edition", "date", "tradition", "role", "of", "encoding")


@dataclass(frozen=True, slots=True)
class Entry:
    """One [[source]] of dossier.toml."""

    file: str
    title: str = ""
    edition: str = ""
    date: str = ""
    tradition: str = "unknown"
    role: str = "manual"
    of: str = ""
    encoding: str = ""


def _checked(entry: Entry, where: str) -> Entry:
    for word, allowed, name in (
        (entry.tradition, TRADITIONS, "tradition"),
        (entry.role, ROLES, "role"),
    ):
        if word not in allowed:
            raise UnknownTermError(
                f"{word!r} is not a {name}", where=where, expected=", ".join(allowed)
            )
    return entry


@dataclass(frozen=True, slots=True)
class Dossier:
    """An opened dossier; its methods read what the folder holds at that moment."""

    root: Path
    title: str
    entries: tuple[Entry, ...]

    @property
    def made(self) -> Path:
        """Folder of everything derived."""
        return self.root / "made"

    @property
    def rulings_path(self) -> Path:
        """The rulings file."""
        return self.root / "rulings.jsonl"

    def rulings(self) -> tuple[Ruling, ...]:
        """All rulings, oldest first."""
        return read_rulings(self.rulings_path)

    def rule(
        self, target: str, decision: str, *, who: str, reading: str = "", reason: str = ""
    ) -> Ruling:
        """Record a ruling; on return it is on the disk. See `reconcile.rulings`."""
        return append_ruling(
            self.rulings_path, target, decision, who=who, reading=reading, reason=reason
        )

    def source_path(self, file: str) -> Path:
        """Path of one source file."""
        return self.root / "sources" / file

    def witnesses(self) -> Iterator[tuple[Entry, Witness | SourceError]]:
        """Read the sources one by one.

        A source that cannot be read yields its error in place of a witness, so that it
        costs no other source its result.
        """
        from reconcile.witnesses import read_witness

        for entry in self.entries:
            meta = {name: getattr(entry, name) for name in _META if getattr(entry, name)}
            try:
                yield entry, read_witness(self.source_path(entry.file), **meta)
            except SourceError as fault:
                yield entry, fault


def open_dossier(root: str | Path) -> Dossier:
    """Open the dossier in folder `root`.

    Raises
    ------
    DossierError
        No dossier there, or dossier.toml cannot be read.
    """
    root = Path(root)
    path = root / "dossier.toml"
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except (FileNotFoundError, NotADirectoryError):
        raise DossierError(
            "no dossier here",
            where=str(root),
            expected="a dossier.toml",
            do="make one with: reconcile new FOLDER FILES",
        ) from None
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as fault:
        raise DossierError(
            f"dossier.toml cannot be read ({fault})", where=str(path), do="mend it or restore it"
        ) from None
    entries = []
    for number, table in enumerate(data.get("source", []), 1):
        where = f"{path}, source {number}"
        if unknown := set(table) - {"file", *_META}:
            raise DossierError(
                f"unknown key {sorted(unknown)[0]!r}",
                where=where,
                expected=", ".join(("file", *_META)),
            )
        if not table.get("file"):
            raise DossierError("a source without a file", where=where, expected='file = "..."')
        # A source file lies in the dossier's own folder; a path that climbs out is refused.
        if Path(table["file"]).name != table["file"]:
            raise DossierError(
                f"{table['file']!r} is not a plain file name",
                where=where,
                do="put the file into sources/ and name it alone",
            )
        entries.append(_checked(Entry(**{k: str(v) for k, v in table.items()}), where))
    return Dossier(root, str(data.get("title") or root.resolve().name), tuple(entries))


def _write_toml(dossier: Dossier) -> None:
    import tomli_w

    data: dict[str, object] = {"title": dossier.title}
    data["source"] = [
        {name: value for name in ("file", *_META) if (value := getattr(entry, name))}
        for entry in dossier.entries
    ]
    fresh = dossier.root / "dossier.toml.new"
    fresh.write_text(tomli_w.dumps(data), encoding="utf-8")
    fresh.replace(dossier.root / "dossier.toml")


def make_dossier(
    root: str | Path, files: Iterable[str | Path] = (), *, title: str = "", **meta: str
) -> Dossier:
    """Make a new dossier in folder `root` and copy `files` into it.

    Raises
    ------
    DossierError
        A dossier stands there already.
    MissingSourceError
        A file cannot be found or opened.
    """
    root = Path(root)
    if (root / "dossier.toml").exists():
        raise DossierError(
            "a dossier stands here already",
            where=str(root),
            do="add files with: reconcile add FOLDER FILES",
        )
    try:
        (root / "sources").mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise DossierError(
            f"the folder cannot be made ({fault.strerror})",
            where=str(root),
            do="choose another folder",
        ) from None
    dossier = Dossier(root, title or root.resolve().name, ())
    _write_toml(dossier)
    return add_sources(dossier, files, **meta)


def add_sources(dossier: Dossier, files: Iterable[str | Path], **meta: str) -> Dossier:
    """Copy `files` into the dossier; `meta` (tradition, role, ...) goes for each of them.

    Raises
    ------
    MissingSourceError
        A file cannot be found or opened; nothing is added then.
    DossierError
        A different file of that name is there already.
    """
    paths = [Path(file) for file in files]
    entries = list(dossier.entries)
    for path in paths:
        if not path.is_file():
            raise MissingSourceError("no such file", where=str(path), do="check the path")
        if any(entry.file == path.name for entry in entries):
            raise DossierError(
                f"a source named {path.name} is in the dossier already",
                where=str(dossier.root),
                do="rename the file first",
            )
        entries.append(_checked(Entry(path.name, **meta), str(path)))
    for path in paths:
        try:
            shutil.copyfile(path, dossier.source_path(path.name))
        except OSError as fault:
            raise MissingSourceError(
                f"cannot be copied ({fault.strerror})", where=str(path), do="check the permissions"
            ) from None
    dossier = replace(dossier, entries=tuple(entries))
    _write_toml(dossier)
    return dossier
