"""Engines that read pictures of text; optional, found when asked for."""

from __future__ import annotations

from importlib.util import find_spec
from typing import Protocol

from reconcile.errors import MissingDependencyError, UnknownTermError
from reconcile.records import Box

ENGINES: dict[str, tuple[str, ...]] = {"rapidocr": ("rapidocr", "onnxruntime")}
"""Modules each known engine needs."""


class OcrEngine(Protocol):
    """What an engine has to offer: words of a picture with boxes [pixels] and confidence."""

    name: str

    def read_words(self, png: bytes) -> list[tuple[str, Box, float]]:
        """Words of a PNG picture."""
        ...


def find_engines() -> tuple[str, ...]:
    """Names of the engines whose modules are installed; none of them is imported."""
    return tuple(name for name, needs in ENGINES.items() if all(map(find_spec, needs)))


def require_engine(name: str = "rapidocr") -> str:
    """Name of an installed engine.

    Raises
    ------
    UnknownTermError
        No engine goes by that name.
    MissingDependencyError
        It is not installed.
    """
    if name not in ENGINES:
        raise UnknownTermError(f"no OCR engine is called {name!r}", expected=", ".join(ENGINES))
    if name not in find_engines():
        raise MissingDependencyError(
            f"reading pictures of text needs the OCR engine {name!r}, which is not installed",
            do="install it with: pip install " + " ".join(ENGINES[name]),
        )
    return name
