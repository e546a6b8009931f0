"""The maker of sample figures, shared with the tests of publishing."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest


@pytest.fixture(scope="session")
def samples() -> ModuleType:
    """The module that makes the sample of the issued formats."""
    path = Path(__file__).parent.parent / "publish" / "samples" / "make_samples.py"
    spec = importlib.util.spec_from_file_location("make_samples", path)
    assert spec and spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module
