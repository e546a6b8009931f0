"""What the sources room costs to import."""

from __future__ import annotations

import subprocess
import sys

HEAVY = ("pypdfium2", "pdfplumber", "openpyxl", "python_calamine", "pandas", "numpy", "PIL", "pint")


def test_importing_loads_nothing_heavy() -> None:
    """The readers of PDFs and workbooks are loaded when such a file is opened, not before."""
    code = (
        "import sys, reconcile.sources, reconcile.sources.images, reconcile.sources.ocr;"
        f"print([name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == "[]"


def test_reading_text_loads_nothing_heavy() -> None:
    """A typed text, captions and a CSV sheet need nothing but the standard library."""
    code = (
        "import sys, pathlib, tempfile; from reconcile.sources import read_source\n"
        "folder = pathlib.Path(tempfile.mkdtemp())\n"
        "for name, text in (('a.txt', 'Boost +6'), ('a.csv', 'a,1\\nb,2'),\n"
        "                   ('a.srt', '1\\n00:00:01,000 --> 00:00:02,000\\nplus six')):\n"
        "    (folder / name).write_text(text)\n"
        "    assert len(list(read_source(folder / name)[1])) == 1\n"
        f"print([name for name in {HEAVY!r} if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    assert done.stdout.strip() == "[]"
