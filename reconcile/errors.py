"""The package's one error tree, and the exit codes a command can end with.

::

    ReconcileError
    ├── UsageError            the caller asked for something that cannot be       (ValueError)
    │   ├── UnknownUnitError      no such unit; near misses are named             (LookupError)
    │   ├── UnknownTermError      no such kind, form, tradition, check, ...       (LookupError)
    │   └── RefusedRulingError    a ruling that lacks something, or no plain reading
    ├── SourceError           an input cannot be read                             (OSError)
    │   ├── MissingSourceError    no such file, or no permission
    │   ├── EmptySourceError      nothing in it
    │   ├── EncryptedSourceError  locked with a password
    │   ├── DamagedSourceError    truncated, binary junk, wrong type or encoding
    │   ├── NoTextLayerError      pages are pictures only
    │   └── OversizeSourceError   larger than can be read in bounded memory
    ├── MeasureError          the quantity does not allow the operation           (ValueError)
    │   ├── ReferenceFormError    forms that cannot be mixed, or unknown          (TypeError)
    │   ├── AmbientNeededError    the ambient pressure is needed and not given
    │   ├── OutOfRangeError       outside the validity of a model or a kind
    │   └── EmptyRangeError       rounding inwards leaves nothing
    ├── TableError            a reference table under tables/ is faulty           (ValueError)
    ├── DossierError          a dossier cannot be used as it is                   (OSError)
    │   └── RulingError           the chain of rulings is broken
    ├── ArtefactError         an issued file fails its digest or its schema       (ValueError)
    └── MissingDependencyError  an optional part is not installed                 (ImportError)

Faults *in a manual* are findings, never errors.
"""

from __future__ import annotations

from enum import IntEnum


class ExitCode(IntEnum):
    """What a command's exit status says. Published; never renumbered."""

    CLEAN = 0
    FINDINGS = 1
    BAD_ARGUMENTS = 2
    UNREADABLE_INPUT = 3
    MISSING_DEPENDENCY = 4


class ReconcileError(Exception):
    """Base of all errors the package raises on purpose.

    Parameters
    ----------
    what : str
        What went wrong, one clause, no final stop.
    where : str, optional
        File, page, line or text it happened at.
    expected : str, optional
        What would have been right.
    do : str, optional
        What the reader can do next.
    """

    exit_code = ExitCode.BAD_ARGUMENTS

    def __init__(
        self,
        what: str,
        *,
        where: str | None = None,
        expected: str | None = None,
        do: str | None = None,
    ) -> None:
        self.what = what
        self.where = where
        self.expected = expected
        self.do = do
        super().__init__(self.sentence)

    @property
    def sentence(self) -> str:
        """The whole message as one line."""
        line = self.what if self.where is None else f"{self.where}: {self.what}"
        if self.expected:
            line += f"; expected {self.expected}"
        if self.do:
            line += f"; {self.do}"
        return line + "."

    def __reduce__(self) -> tuple[object, ...]:
        # The default would hand `sentence` back as `what` and lose the fields.
        return (_rebuild, (type(self), self.what, self.where, self.expected, self.do))


def _rebuild(
    kind: type[ReconcileError], what: str, where: str | None, expected: str | None, do: str | None
) -> ReconcileError:
    return kind(what, where=where, expected=expected, do=do)


class UsageError(ReconcileError, ValueError):
    """The caller asked for something that cannot be."""


class UnknownUnitError(UsageError, LookupError):
    """No unit goes by that name or code."""


class UnknownTermError(UsageError, LookupError):
    """A word from a closed list was expected, and another given."""


class RefusedRulingError(UsageError):
    """A ruling lacks what it needs, or its reading is not one plain value."""


class SourceError(ReconcileError, OSError):
    """An input cannot be read."""

    exit_code = ExitCode.UNREADABLE_INPUT

    def __str__(self) -> str:  # OSError would print its own form
        return self.sentence


class MissingSourceError(SourceError):
    """No such file, or it may not be opened."""


class EmptySourceError(SourceError):
    """The file holds nothing."""


class EncryptedSourceError(SourceError):
    """The file is locked with a password."""


class DamagedSourceError(SourceError):
    """The file is truncated, is not what its name says, or is not text."""


class NoTextLayerError(SourceError):
    """Pages are pictures only; there is nothing to read without OCR."""


class OversizeSourceError(SourceError):
    """Too large to read in bounded memory."""


class MeasureError(ReconcileError, ValueError):
    """The quantity does not allow what was asked of it."""


class ReferenceFormError(MeasureError, TypeError):
    """Pressures of different or unknown reference form were mixed."""


class AmbientNeededError(MeasureError):
    """The ambient pressure is needed and was not given."""


class OutOfRangeError(MeasureError):
    """Outside the validity of a model, or impossible for the kind."""


class EmptyRangeError(MeasureError):
    """Rounding a range inwards leaves nothing of it."""


class TableError(ReconcileError, ValueError):
    """A reference table under tables/ is faulty."""


class DossierError(ReconcileError, OSError):
    """A dossier cannot be used as it is."""

    exit_code = ExitCode.UNREADABLE_INPUT

    def __str__(self) -> str:
        return self.sentence


class RulingError(DossierError):
    """The file of rulings is damaged, or its chain is broken."""


class ArtefactError(ReconcileError, ValueError):
    """An issued file fails its digest or its schema."""

    exit_code = ExitCode.UNREADABLE_INPUT


class MissingDependencyError(ReconcileError, ImportError):
    """An optional part is not installed."""

    exit_code = ExitCode.MISSING_DEPENDENCY

    def __str__(self) -> str:
        return self.sentence
