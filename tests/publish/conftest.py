"""The sample table, made by the script that froze the samples."""

from __future__ import annotations

import importlib.util
import lzma
from collections.abc import Callable
from pathlib import Path
from types import ModuleType

import pytest
from lxml import etree

from reconcile.publish.rows import LimitTable

SAMPLES = Path(__file__).parent / "samples"
# The TEI Consortium's own RELAX NG schema of P5, edition 3.0.0 (29 March 2016), with every
# module; under the BSD-2-Clause licence, whose text stands at its head.
SCHEMA = Path(__file__).parent.parent / "published" / "tei-p5-3.0.0.rng.xz"


def _load() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_samples", SAMPLES / "make_samples.py")
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def samples() -> ModuleType:
    """The module that makes the sample."""
    return _load()


@pytest.fixture(scope="session")
def table(samples: ModuleType) -> LimitTable:
    """The sample table."""
    made: LimitTable = samples.sample_table()
    return made


@pytest.fixture(scope="session")
def valid_tei() -> Callable[[Path], list[str]]:
    """A function that gives the faults the TEI schema finds in a file."""
    schema = etree.RelaxNG(etree.fromstring(lzma.decompress(SCHEMA.read_bytes())))

    def faults(path: Path) -> list[str]:
        schema.validate(etree.parse(str(path)))
        return [f"{fault.line}: {fault.message}" for fault in schema.error_log]

    return faults
