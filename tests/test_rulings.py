"""Rulings: what is acknowledged is never lost, and what was changed is noticed."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from reconcile.errors import RefusedRulingError, RulingError
from reconcile.rulings import append_ruling, latest_rulings, read_rulings


def test_rulings_come_back_in_order(tmp_path: Path) -> None:
    """What was written is read back, oldest first, each chained to the one before."""
    path = tmp_path / "rulings.jsonl"
    first = append_ruling(path, "f1", "accept", who="A. Reader")
    second = append_ruling(path, "f1", "emend", who="A. Reader", reading="+6", reason="twin")
    assert read_rulings(path) == (first, second)
    assert second.previous == first.digest
    assert latest_rulings(read_rulings(path)) == {"f1": second}


@pytest.mark.parametrize(
    ("decision", "who", "reading", "message"),
    [
        ("maybe", "A", "", "not a decision"),
        ("accept", " ", "", "needs the name"),
        ("emend", "A", "", "needs the reading"),
    ],
)
def test_a_faulty_ruling_is_refused(
    tmp_path: Path, decision: str, who: str, reading: str, message: str
) -> None:
    """A ruling that lacks what it needs is refused and nothing is written."""
    path = tmp_path / "rulings.jsonl"
    with pytest.raises(RefusedRulingError, match=message):
        append_ruling(path, "f1", decision, who=who, reading=reading)
    assert read_rulings(path) == ()


def test_a_changed_line_is_noticed(tmp_path: Path) -> None:
    """Editing an old ruling breaks the chain, and the error names the line."""
    path = tmp_path / "rulings.jsonl"
    for target in ("f1", "f2", "f3"):
        append_ruling(path, target, "accept", who="A")
    lines = path.read_text().splitlines()
    changed = json.loads(lines[1]) | {"decision": "reject"}
    path.write_text("\n".join([lines[0], json.dumps(changed), lines[2]]) + "\n")
    with pytest.raises(RulingError, match="line 2"):
        read_rulings(path)


def test_a_removed_line_is_noticed(tmp_path: Path) -> None:
    """Taking a ruling out of the middle breaks the chain."""
    path = tmp_path / "rulings.jsonl"
    for target in ("f1", "f2", "f3"):
        append_ruling(path, target, "accept", who="A")
    lines = path.read_text().splitlines()
    path.write_text("\n".join([lines[0], lines[2]]) + "\n")
    with pytest.raises(RulingError, match="line 2"):
        read_rulings(path)


def test_half_a_line_at_the_end_is_put_aside(tmp_path: Path) -> None:
    """A write cut short was never acknowledged; it is kept aside and the chain goes on."""
    path = tmp_path / "rulings.jsonl"
    first = append_ruling(path, "f1", "accept", who="A")
    with path.open("ab") as stream:
        stream.write(b'{"number": 2, "who": "A')
    assert read_rulings(path) == (first,)
    second = append_ruling(path, "f2", "accept", who="A")
    assert read_rulings(path) == (first, second)
    assert [p.read_bytes() for p in tmp_path.glob("rulings-torn-*")] == [b'{"number": 2, "who": "A']


def test_threads_do_not_break_the_chain(tmp_path: Path) -> None:
    """Rulings made at the same time are all kept, one after another."""
    path = tmp_path / "rulings.jsonl"
    threads = [
        threading.Thread(target=append_ruling, args=(path, f"f{n}", "accept"), kwargs={"who": "A"})
        for n in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(r.target for r in read_rulings(path)) == [f"f{n}" for n in range(8)]


@pytest.mark.skipif(os.name != "posix", reason="kill -9 is a POSIX signal")
def test_acknowledged_rulings_survive_kill_9(tmp_path: Path) -> None:
    """A process killed without warning loses nothing it had acknowledged."""
    path = tmp_path / "rulings.jsonl"
    script = (
        "import sys\nfrom pathlib import Path\nfrom reconcile.rulings import append_ruling\n"
        "for n in range(10000):\n"
        f"    r = append_ruling(Path({str(path)!r}), f'f{{n}}', 'accept', who='A')\n"
        "    print(r.number, flush=True)\n"
    )
    process = subprocess.Popen([sys.executable, "-c", script], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    acknowledged = 0
    for line in process.stdout:
        acknowledged = int(line)
        if acknowledged == 15:
            process.send_signal(signal.SIGKILL)
            break
    # What was still in the pipe had been acknowledged too.
    for line in process.stdout:
        acknowledged = int(line)
    process.wait()
    process.stdout.close()
    assert len(read_rulings(path)) >= acknowledged >= 15
    append_ruling(path, "after", "accept", who="B")
    assert read_rulings(path)[-1].target == "after"
