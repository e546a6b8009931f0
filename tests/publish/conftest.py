"""The sample table, made by the script that froze the samples."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

from reconcile.publish.rows import LimitTable

SAMPLES = Path(__file__).parent / "samples"


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
