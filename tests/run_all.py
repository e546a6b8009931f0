"""Everything that must hold, one step after another: lint, types, tests, notebooks, demo.

Runs with the tools of the interpreter that runs it; the package has to be installed with
its extra "test". Arguments are handed on to pytest.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parent.parent
FOLDERS = ["reconcile", "tests", "tables"]


def run(*command: str) -> None:
    """Run a module of this interpreter; a failure ends everything with its code."""
    print("$ python -m", *command, flush=True)
    done = subprocess.run([sys.executable, "-m", *command], cwd=ROOT, check=False)
    if done.returncode:
        sys.exit(done.returncode)


def main() -> None:
    """Run all steps."""
    run("ruff", "check", *FOLDERS)
    run("ruff", "format", "--check", *FOLDERS)
    run("mypy")
    workers = str(min(4, os.cpu_count() or 1))
    run(
        "pytest",
        "-n",
        workers,
        "--cov",
        "--cov-report=term:skip-covered",
        "--cov-fail-under=90",
        *sys.argv[1:],
    )
    with tempfile.TemporaryDirectory() as folder:
        run("reconcile", "demo", str(Path(folder) / "demo"))


if __name__ == "__main__":
    main()
