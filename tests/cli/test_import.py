"""`benchlore import`: what it says, its exit codes, Ctrl-C and its progress."""

from __future__ import annotations

import os
import pty
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import pytest

from shops import ShopFolder, run_benchlore

TABLE = (
    "Job No,Date,Complaint,Work done,Bay\n"
    "17,2025-05-14,Hums above 50,new bearing,3\n"
    "18,2025-05-15,Squeals in the morning,new pads,4\n"
    "19,2025-05-16\n"
)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / "shop" / "kb").mkdir(parents=True)
    (tmp_path / "orders.csv").write_text(TABLE)
    return tmp_path / "shop"


def run(shop: Path, *arguments: str) -> tuple[int, str, str]:
    done = run_benchlore("--shop", str(shop), "import", *arguments)
    assert b"Traceback" not in done.stderr
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def notes(shop: Path) -> list[str]:
    return sorted(file.relative_to(shop).as_posix() for file in (shop / "kb").rglob("*.md"))


def test_an_export_is_imported_by_a_guess_which_is_shown(shop: Path, tmp_path: Path) -> None:
    table = str(tmp_path / "orders.csv")
    code, out, err = run(shop, table)
    assert code == 3
    assert "3 of 3 rows read; 2 taken, 0 in the notes already, 1 not taken" in out
    assert 'symptom = "Complaint"' in err
    assert "not taken: line 4: 2 cells where the header names 5" in err
    assert notes(shop) == [
        "kb/imported/2025/17-hums-above-50.md",
        "kb/imported/2025/18-squeals-in-the-morning.md",
    ]
    code, out, err = run(shop, table)
    assert "0 taken, 2 in the notes already, 1 not taken" in out and len(notes(shop)) == 2


def test_what_is_imported_is_found(shop_folder: ShopFolder, tmp_path: Path) -> None:
    (tmp_path / "orders.csv").write_text(TABLE)
    assert run(shop_folder.root, str(tmp_path / "orders.csv"))[0] == 3
    shop_folder.build()
    done = shop_folder.run("find", "squeals in the morning")
    assert done.returncode == 0
    assert b"18-squeals-in-the-morning.md" in done.stdout
    assert b"0 things" not in done.stderr


def test_the_printed_mapping_is_one_that_can_be_given_back(shop: Path, tmp_path: Path) -> None:
    table = str(tmp_path / "orders.csv")
    code, out, err = run(shop, table, "--print-mapping")
    assert (code, err) == (0, "")
    assert tomllib.loads(out)["note"]["case"] == "Job No"
    (tmp_path / "orders.toml").write_text(out)
    code, out, err = run(shop, table, "--mapping", str(tmp_path / "orders.toml"))
    assert code == 3 and "guessed" not in err
    assert len(notes(shop)) == 2


def test_a_dry_run_shows_the_first_notes_and_writes_none(shop: Path, tmp_path: Path) -> None:
    code, out, _ = run(shop, str(tmp_path / "orders.csv"), "--dry-run", "--show", "1")
    assert code == 3
    assert "would write kb/imported/2025/17-hums-above-50.md:" in out
    assert "symptom: Hums above 50" in out and "Squeals" not in out
    assert "2 would be taken" in out
    assert notes(shop) == []


def test_the_report_names_every_row_and_overwrites_nothing(shop: Path, tmp_path: Path) -> None:
    report = tmp_path / "report.txt"
    table = "Complaint,B\n" + "x\n" * 50
    (tmp_path / "orders.csv").write_text(table)
    code, _, err = run(shop, str(tmp_path / "orders.csv"), "--report", str(report))
    assert code == 3 and f"30 more; all of them are in {report}" in err
    lines = report.read_text().splitlines()
    assert len(lines) == 51
    assert lines[50] == ("not taken: orders.csv, line 51: 1 cells where the header names 2")
    before = report.read_bytes()
    code, out, _ = run(shop, str(tmp_path / "orders.csv"), "--report", str(report))
    assert code == 3 and "report-2.txt" in out
    assert report.read_bytes() == before == (tmp_path / "report-2.txt").read_bytes()


def test_a_report_that_cannot_be_written_ends_with_5(shop: Path, tmp_path: Path) -> None:
    report = str(tmp_path / "no folder" / "report.txt")
    code, _, err = run(shop, str(tmp_path / "orders.csv"), "--report", report)
    assert code == 5 and "the notes that were taken are in" in err
    assert len(notes(shop)) == 2


def test_folders_and_notebooks(shop: Path, tmp_path: Path) -> None:
    (tmp_path / "old").mkdir()
    (tmp_path / "old" / "a.txt").write_text("Hums")
    (tmp_path / "book.txt").write_text("Job 1 squeals\nJob 2 knocks\n")
    assert run(shop, str(tmp_path / "old"))[0] == 0
    code, out, err = run(shop, str(tmp_path / "book.txt"), "--split", "Job ", "--into", "kb/book")
    assert code == 0 and "2 taken" in out and "a note begins at each line with 'Job '" in err
    assert notes(shop) == [
        "kb/book/job-1-squeals.md", "kb/book/job-2-knocks.md", "kb/imported/a.md",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("arguments", "code", "said"),
    [
        (["nowhere.csv"], 4, "is not there"),
        (["orders.csv", "--into", "../outside"], 2, "not a folder below kb"),
        (["orders.csv", "--into", "articles"], 2, "not a folder below kb"),
        (["orders.csv", "--mapping", "none.toml"], 2, "none.toml cannot be read"),
        (["orders.csv", "--split", "---"], 2, "--split belongs to one text file"),
        (["orders.csv", "--delimiter", "ab"], 2, "is no delimiter"),
        (["book.txt", "--delimiter", ","], 2, "belong to a table"),
        (["book.txt", "--print-mapping"], 2, "belongs to a table"),
        (["stuff.bin"], 2, "say --as table or --as text"),
        (["empty.csv"], 4, "is empty"),
    ],
)
def test_wrong_use_is_told(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str], code: int,
    said: str,
) -> None:  # fmt: skip
    for name in ("book.txt", "stuff.bin"):
        (tmp_path / name).write_text("Hums\n")
    (tmp_path / "empty.csv").write_text("")
    monkeypatch.chdir(tmp_path)
    got, _, err = run(shop, *arguments)
    assert got == code and said in err
    assert notes(shop) == []


def test_a02_disk_full_ends_with_5_and_says_how_to_go_on(shop: Path, tmp_path: Path) -> None:
    program = (
        "import sys\n"
        "from benchlore.importing import writing\n"
        "from benchlore.errors import NotWritten\n"
        "from benchlore.cli.main import run\n"
        "save, done = writing.save_new, []\n"
        "def full(*a):\n"
        "    if done:\n"
        "        raise NotWritten('not saved: disk full')\n"
        "    done.append(1)\n"
        "    return save(*a)\n"
        "writing.save_new = full\n"
        "run()\n"
    )
    table = str(tmp_path / "orders.csv")
    done = subprocess.run(
        [sys.executable, "-c", program, "--shop", str(shop), "import", table],
        capture_output=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 5
    assert b"disk full" in done.stderr and b"the same command goes on from there" in done.stderr
    assert b"1 taken" in done.stdout and len(notes(shop)) == 1
    assert run(shop, table)[0] == 3 and len(notes(shop)) == 2


def test_a11_ctrl_c_stops_between_two_notes_on_a_terminal_with_a_bar(
    shop: Path, tmp_path: Path
) -> None:
    (tmp_path / "orders.csv").write_text(
        "Complaint,No\n" + "".join(f"Hums {n},{n}\n" for n in range(3000))
    )
    master, slave = pty.openpty()
    command = [sys.executable, "-m", "benchlore", "--shop", str(shop), "import"]
    process = subprocess.Popen(
        [*command, str(tmp_path / "orders.csv")], stdin=slave, stdout=slave, stderr=slave,
        start_new_session=True, env={**os.environ, "TERM": "xterm-256color"},
    )  # fmt: skip
    os.close(slave)
    sent = b""
    limit = time.monotonic() + 60
    pressed = False
    while time.monotonic() < limit:
        try:
            sent += os.read(master, 65536)
        except OSError:  # Linux says EIO when the other end is closed
            break
        if not pressed and len(notes(shop)) > 10:
            process.send_signal(signal.SIGINT)
            pressed = True
    os.close(master)
    assert process.wait(timeout=20) == 130
    assert b"importing rows: " in sent and "\u2501".encode() in sent
    written = len(notes(shop))
    assert 10 < written < 3000
    assert f"{written} taken".encode() in sent and b"stopped; what was taken stays" in sent
    assert not [name for name in os.listdir(shop / "kb" / "imported") if name.startswith(".")]


def test_d01_what_a_table_holds_cannot_act_on_the_terminal(shop: Path, tmp_path: Path) -> None:
    bad = "\x1b]52;c;aGk=\x07\x9b31m\u202e"
    file = tmp_path / "a\x1b[31m.csv"
    file.write_text(f"Complaint,{bad}\nHums {bad},{bad}\nx\n", encoding="utf-8")
    for more in ([], ["--dry-run"], ["--print-mapping"]):
        code, out, err = run(shop, str(file), *more)
        assert code in (0, 3)
        for char in bad + "\x1b":
            if not char.isprintable():
                assert char not in out + err
