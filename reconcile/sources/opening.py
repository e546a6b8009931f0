"""Looking at a file before reading it: is it there, what is it, is it text."""

from __future__ import annotations

import codecs
import hashlib
import stat
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from reconcile.errors import (
    DamagedSourceError,
    EmptySourceError,
    MissingSourceError,
    OversizeSourceError,
    SourceError,
    UsageError,
)

CHUNK = 1 << 18
MAX_LINE = 1_000_000
"""Longer lines [bytes] are refused: nobody typed them, and they cannot be streamed."""

_SIGNATURES: tuple[tuple[bytes, str], ...] = (
    (b"\x89PNG\r\n\x1a\n", "PNG picture"),
    (b"\xff\xd8\xff", "JPEG picture"),
    (b"II*\x00", "TIFF picture"),
    (b"MM\x00*", "TIFF picture"),
    (b"GIF8", "GIF picture"),
    (b"BM", "BMP picture"),
    (b"RIFF", "RIFF file"),
    (b"\x00\x00\x00\x0cjP  ", "JPEG 2000 picture"),
    (b"%PDF-", "PDF"),
    (b"PK\x03\x04", "ZIP archive"),
    (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", "old Office file"),
    (b"\x1f\x8b", "gzip archive"),
    (b"7z\xbc\xaf\x27\x1c", "7z archive"),
    (b"{\\rtf", "RTF document"),
    (b"\x7fELF", "program"),
    (b"MZ", "program"),
    (b"AT&TFORM", "DjVu document"),
)
_BOMS: tuple[tuple[bytes, str], ...] = (
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


@dataclass(frozen=True, slots=True)
class Look:
    """What one pass over a file's bytes saw."""

    path: Path
    sha256: str
    size: int
    head: bytes
    tail: bytes
    utf8: bool
    """All bytes are valid UTF-8."""
    nuls: int
    controls: int
    """Control characters that text has no use for."""
    high: int
    """Bytes above 127."""
    letters: int
    """ASCII letters."""
    longest_line: int

    @property
    def signature(self) -> str:
        """What the first bytes say the file is, or an empty string."""
        for magic, name in _SIGNATURES:
            if self.head.startswith(magic):
                # Two letters alone are no proof: "MZ 12" may begin a typed list.
                if len(magic) == 2 and name != "gzip archive" and not self.nuls:
                    continue
                return name
        at = self.head[:1024].find(b"%PDF-")
        return "PDF" if at > 0 and not self.head[:at].strip(b"\xef\xbb\xbf \r\n\t\0") else ""


_CONTROLS = bytes(i for i in range(32) if i not in b"\t\n\r\f\x1a\x1b\0") + b"\x7f"
_LETTERS = bytes(range(65, 91)) + bytes(range(97, 123))
_ASCII = bytes(range(128))


def look(path: str | Path) -> Look:
    """Read all bytes of `path` once, in bounded memory.

    Raises
    ------
    MissingSourceError
        No such file, a folder, a device, or no permission.
    EmptySourceError
        The file holds no bytes.
    """
    path = Path(path)
    name = path.name or str(path)
    try:
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise MissingSourceError("is a folder", where=name, expected="a file")
        if not stat.S_ISREG(mode):
            raise MissingSourceError("is not a regular file", where=name, expected="a file")
        with path.open("rb") as stream:
            return _pass(path, stream)
    except FileNotFoundError:
        raise MissingSourceError(
            "no such file", where=name, do="check the name and the folder"
        ) from None
    except PermissionError:
        raise MissingSourceError(
            "may not be read", where=name, do="give yourself permission to read it"
        ) from None
    except NotADirectoryError:
        raise MissingSourceError("no such file", where=name, do="check its folder") from None
    except SourceError:
        raise
    except (OSError, ValueError) as error:  # a name with a NUL, a failing disk, a loop of links
        raise MissingSourceError(f"cannot be opened ({_reason(error)})", where=name) from None


def _reason(error: Exception) -> str:
    return (getattr(error, "strerror", None) or str(error) or type(error).__name__).lower()


def _pass(path: Path, stream: BinaryIO) -> Look:
    digest = hashlib.sha256()
    decoder = codecs.getincrementaldecoder("utf-8")()
    head = tail = b""
    size = nuls = controls = high = letters = line = longest = 0
    utf8 = True
    while chunk := stream.read(CHUNK):
        digest.update(chunk)
        size += len(chunk)
        if len(head) < 4096:
            head += chunk[: 4096 - len(head)]
        tail = (tail + chunk[-65536:])[-65536:]
        nuls += chunk.count(0)
        controls += len(chunk) - len(chunk.translate(None, _CONTROLS))
        high += len(chunk.translate(None, _ASCII))
        letters += len(chunk) - len(chunk.translate(None, _LETTERS))
        if utf8:
            try:
                decoder.decode(chunk)
            except UnicodeDecodeError:
                utf8 = False
        first = _end(chunk)
        if first < 0:
            line += len(chunk)
        else:  # a line wholly inside one chunk is shorter than the limit
            longest = max(longest, line + first)
            line = len(chunk) - 1 - max(chunk.rfind(b"\n"), chunk.rfind(b"\r"))
        longest = max(longest, line)
    if not size:
        raise EmptySourceError(
            "the file is empty", where=path.name, do="fetch it again from where it came"
        )
    if utf8:
        try:
            decoder.decode(b"", final=True)
        except UnicodeDecodeError:
            utf8 = False
    return Look(
        path, digest.hexdigest(), size, head, tail, utf8, nuls, controls, high, letters, longest
    )


def _end(chunk: bytes) -> int:
    at, other = chunk.find(b"\n"), chunk.find(b"\r")
    return max(at, other) if min(at, other) < 0 else min(at, other)


def text_encoding(seen: Look, wanted: str = "") -> tuple[str, tuple[str, ...]]:
    """Encoding of a text file, and what had to be supposed.

    Parameters
    ----------
    seen : Look
    wanted : str, optional
        Encoding the caller knows; taken as it is.

    Raises
    ------
    UsageError
        `wanted` is no encoding Python knows.
    DamagedSourceError
        Not text, or text in an encoding that cannot be told from the bytes.
    OversizeSourceError
        One line is too long to be read in bounded memory.
    """
    name = seen.path.name
    if wanted:
        try:
            wanted = codecs.lookup(wanted).name
            "".encode(wanted)
        except (LookupError, TypeError, ValueError, UnicodeError):
            raise UsageError(
                f"no text encoding is called {wanted!r}",
                expected="a name such as utf-8, cp1252, cp1251, koi8-r or shift_jis",
            ) from None
    if seen.longest_line > MAX_LINE:
        raise OversizeSourceError(
            f"one line is longer than {MAX_LINE:,} bytes",
            where=name,
            do="break the text into lines",
        )
    if wanted:
        return wanted, ()
    for bom, encoding in _BOMS:
        if seen.head.startswith(bom):
            return encoding, ()
    if seen.nuls:
        sample = seen.head
        even, odd = sample[0::2].count(0), sample[1::2].count(0)
        half = max(1, len(sample) // 2)
        if odd > 0.6 * half > 4 * even:
            return "utf-16-le", ("no byte order mark; read as UTF-16 little-endian",)
        if even > 0.6 * half > 4 * odd:
            return "utf-16-be", ("no byte order mark; read as UTF-16 big-endian",)
    if seen.nuls or seen.controls * 200 > seen.size:
        raise DamagedSourceError(
            "holds binary data, not text",
            where=name,
            expected="text, Markdown, captions, a sheet or a PDF",
        )
    if seen.utf8:
        return "utf-8", ()
    if seen.high * 5 > seen.letters:
        raise DamagedSourceError(
            "its letters are neither UTF-8 nor Western",
            where=name,
            do="name the encoding, for instance cp1251, koi8-r or shift_jis",
        )
    return "cp1252", ("not UTF-8; read as Windows-1252, so accents and signs may be wrong",)
