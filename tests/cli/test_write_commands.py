"""`add`, `edit` and `due` as processes of their own."""

from __future__ import annotations

import json
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from benchlore.notes import read_note
from shops import ShopFolder

NOTE = """\
---
case: 2025-0147          # the job card
date: 2025-05-14
symptom: Hums from the rear
present: [above 50 km/h]
outcome: {result: open}
---
Told by the driver.
"""


@pytest.fixture
def folder(shop_folder: ShopFolder) -> ShopFolder:
    """A shop with one case, built."""
    shop_folder.write("kb/2025/2025-0147-hums.md", NOTE)
    shop_folder.build()
    return shop_folder


def notes(folder: ShopFolder) -> set[str]:
    return {f.relative_to(folder.root).as_posix() for f in (folder.root / "kb").rglob("*.md")}


def editor(tmp_path: Path, program: str) -> dict[str, str]:
    """The environment with an editor that runs `program` on the file's `text`."""
    script = tmp_path / "my editor"
    script.write_text(
        f"#!{sys.executable}\nimport sys\npath = sys.argv[-1]\n"
        f"text = open(path, encoding='utf-8', newline='').read()\n{program}\n"
        "open(path, 'w', encoding='utf-8', newline='').write(text)\n"
    )
    script.chmod(0o755)
    return {"VISUAL": f"'{script}' --wait"}


def test_a_note_from_a_file_is_saved_as_it_is_and_found(folder: ShopFolder, tmp_path: Path) -> None:
    before = notes(folder)
    source = tmp_path / "new.md"
    source.write_text("---\ncase: 2025-0148\ndate: 2025-06-01\nsymptom: Squeals # loud\n---\nx\n")
    done = folder.run("add", "--from", str(source))
    assert done.returncode == 0, done.stderr
    (new,) = notes(folder) - before
    assert new == "kb/2025/2025-0148-squeals.md"
    assert (folder.root / new).read_bytes() == source.read_bytes()
    assert b"saved: kb/2025/2025-0148-squeals.md" in done.stdout
    assert b"not complete: no outcome" in done.stdout and b"found from now on" in done.stdout
    found = folder.run("find", "squeals", "--json")
    assert json.loads(found.stdout)["cases"][0]["case"] == "2025-0148"


def test_text_from_a_pipe_becomes_a_note(folder: ShopFolder) -> None:
    before = notes(folder)
    done = folder.run("add", "--from", "-", stdin="Rattles over cobbles\nLoose shield.\n")
    assert done.returncode == 0
    assert notes(folder) - before == {"kb/rattles-over-cobbles.md"}


@pytest.mark.parametrize(
    ("arguments", "stdin", "code", "says"),
    [
        (("add", "--from", "nowhere.md"), "", 2, "cannot be read"),
        (("add", "--from", "-"), "", 2, "is empty"),
        (("add", "--from", "-"), "x" * 300_000, 2, "larger than a note"),
        (("add",), "", 2, "need a terminal"),
        (("add", "--from", "-", "--editor"), "", 2, "do not go together"),
        (("edit", "2025-9999"), "", 2, "there is no case"),
        (("edit", "2025-0147", "--set", "colour=red"), "", 2, "there is no field"),
        (("edit", "2025-0147", "--set", "by"), "", 2, "FIELD=TEXT"),
        (("edit", "../../../etc/passwd.md"), "", 2, "no note"),
        (("due", "2025-0147"), "", 2, "say how it ended"),
        (("due", "2025-0147", "blue"), "", 2, "no outcome can be told"),
    ],
)
def test_wrong_use_is_told_and_writes_nothing(
    folder: ShopFolder, arguments: tuple[str, ...], stdin: str, code: int, says: str
) -> None:
    before = notes(folder)
    done = folder.run(*arguments, stdin=stdin)
    assert done.returncode == code, done.stderr
    assert says in done.stderr.decode() and b"Traceback" not in done.stderr
    assert notes(folder) == before
    assert (folder.root / "kb/2025/2025-0147-hums.md").read_text() == NOTE


def test_binary_data_is_no_case(folder: ShopFolder, tmp_path: Path) -> None:
    before = notes(folder)
    (tmp_path / "x.md").write_bytes(os.urandom(2000))
    done = folder.run("add", "--from", str(tmp_path / "x.md"))
    assert done.returncode == 3 and b"not text" in done.stderr and notes(folder) == before


def test_the_editor_gets_a_template_and_what_is_filled_in_is_saved(
    folder: ShopFolder, tmp_path: Path
) -> None:
    before = notes(folder)
    env = editor(tmp_path, "text = text.replace('symptom:', 'symptom: Clonks reversing')")
    done = folder.run("add", "--editor", env=env)
    assert done.returncode == 0, done.stderr
    (new,) = notes(folder) - before
    note = read_note(new, (folder.root / new).read_bytes())
    assert note.symptom is not None and note.symptom.text == "Clonks reversing"
    assert note.checks == () and "#" not in note.text  # nothing of the template is left


def test_an_editor_left_without_a_change_writes_nothing(folder: ShopFolder, tmp_path: Path) -> None:
    before = notes(folder)
    done = folder.run("add", "--editor", env=editor(tmp_path, ""))
    assert done.returncode == 0 and b"nothing was written" in done.stdout
    assert notes(folder) == before


def test_a_note_is_changed_in_the_editor_byte_for_byte(folder: ShopFolder, tmp_path: Path) -> None:
    env = editor(tmp_path, "text = text.replace('rear', 'front')")
    done = folder.run("edit", "0147", env=env)
    assert done.returncode == 0, done.stderr
    after = (folder.root / "kb/2025/2025-0147-hums.md").read_text()
    assert after == NOTE.replace("rear", "front")


def test_a06_a_note_changed_while_the_editor_was_open_keeps_both(
    folder: ShopFolder, tmp_path: Path
) -> None:
    note = folder.root / "kb/2025/2025-0147-hums.md"
    env = editor(
        tmp_path,
        f"open({str(note)!r}, 'a').write('Theirs.\\n')\ntext = text.replace('rear', 'front')",
    )
    done = folder.run("edit", "0147", env=env)
    assert done.returncode == 5
    said = done.stderr.decode()
    assert "changed since you opened it" in said and "your text is kept in" in said
    assert note.read_text() == f"{NOTE}Theirs.\n"
    kept = Path(said.partition("your text is kept in ")[2].strip())
    assert kept.read_text() == NOTE.replace("rear", "front")


@pytest.mark.parametrize(
    ("editor_named", "says"),
    [("no-such-editor-here", "could not be started"), ("'", "cannot be read"),
     ("false", "ended with code 1")],
)  # fmt: skip
def test_an_editor_that_does_not_work_is_told(
    folder: ShopFolder, editor_named: str, says: str
) -> None:
    done = folder.run("edit", "0147", env={"VISUAL": editor_named})
    assert done.returncode == 4 and says in done.stderr.decode()


def test_without_a_terminal_no_editor_is_chosen_for_the_user(folder: ShopFolder) -> None:
    done = folder.run("edit", "0147", env={"VISUAL": "", "EDITOR": ""})
    assert done.returncode == 4 and b"no editor named" in done.stderr


@pytest.mark.parametrize(
    ("program", "says"),
    [("text = ''", "the text is empty"), ("text = 'x' * 300_000", "larger than 256 kB")],
)
def test_an_editor_that_leaves_nothing_or_too_much_does_not_cost_the_note(
    folder: ShopFolder, tmp_path: Path, program: str, says: str
) -> None:
    done = folder.run("edit", "0147", env=editor(tmp_path, program))
    assert done.returncode == 5 and says in done.stderr.decode()
    assert (folder.root / "kb/2025/2025-0147-hums.md").read_text() == NOTE


def test_an_editor_that_takes_the_file_away_is_told(folder: ShopFolder) -> None:
    done = folder.run("edit", "0147", env={"VISUAL": "rm"})
    assert done.returncode == 5 and b"cannot be read" in done.stderr
    assert b"Traceback" not in done.stderr


def test_fields_are_set_and_files_attached_in_one_go(folder: ShopFolder, tmp_path: Path) -> None:
    (tmp_path / "log.txt").write_text("800;14.1\n")
    done = folder.run("edit", "0147", "--attach", str(tmp_path / "log.txt"), "--set", "by=KM")
    assert done.returncode == 0, done.stderr
    note = read_note("kb/x.md", (folder.root / "kb/2025/2025-0147-hums.md").read_bytes())
    assert note.by == "KM" and [f.text for f in note.files] == ["2025-0147-hums-files/log.txt"]


def test_no_note_text_reaches_a_shell(folder: ShopFolder, tmp_path: Path) -> None:
    trace = tmp_path / "ran"
    folder.write("kb/$(touch ran);`touch ran`.md", f"---\ncase: 9\n---\n$(touch {trace})\n")
    env = editor(tmp_path, "text += '; touch ran\\n'")
    done = folder.run("edit", str(folder.root / "kb/$(touch ran);`touch ran`.md"), env=env)
    assert done.returncode == 0, done.stderr
    assert not trace.exists() and not (folder.root / "ran").exists()


def test_one_field_is_set_and_nothing_else_moves(folder: ShopFolder) -> None:
    done = folder.run("edit", "2025-0147", "--set", "present=cold, above 50 km/h", "--set", "by=KM")
    assert done.returncode == 0, done.stderr
    after = (folder.root / "kb/2025/2025-0147-hums.md").read_text()
    assert after == NOTE.replace("[above 50 km/h]", "[cold, above 50 km/h]").replace(
        "outcome: {result: open}\n", "outcome: {result: open}\nby: KM\n"
    )


def test_c18_a_note_of_a_newer_format_is_not_changed(folder: ShopFolder) -> None:
    file = folder.write("kb/new.md", "---\nformat: 2\ncase: 7\nsymptom: hums\n---\n")
    before = file.read_bytes()
    done = folder.run("edit", "kb/new.md", "--set", "by=KM")
    assert done.returncode == 5 and b"newer benchlore" in done.stderr
    assert file.read_bytes() == before


def test_due_lists_records_and_lists_no_more(folder: ShopFolder) -> None:
    listed = folder.run("due", "--json")
    (due,) = json.loads(listed.stdout)["due"]
    assert due["case"] == "2025-0147" and due["why"] == "open" and due["days"] > 0
    trial = folder.run("due", "0147", "fixed, 4100 km", "--dry-run")
    assert b"would say: fixed on" in trial.stdout
    assert (folder.root / "kb/2025/2025-0147-hums.md").read_text() == NOTE
    done = folder.run("due", "0147", "fixed, 4100 km")
    assert done.returncode == 0, done.stderr
    note = (folder.root / "kb/2025/2025-0147-hums.md").read_text()
    lines = [line for line in note.split("\n") if line not in NOTE.split("\n")]
    assert len(lines) == 1 and lines[0].startswith("outcome: {result: fixed, date: 20")
    assert "after: 4100 km" in lines[0]
    assert b"0 cases are due" in folder.run("due").stdout


def test_a05_a_read_only_shop_says_so_before_anything_is_asked(folder: ShopFolder) -> None:
    if not sys.platform.startswith("linux"):
        pytest.skip("A5: needs setpriv")
    (folder.root / "kb").chmod(0o555)
    drop = "-dac_override,-dac_read_search"
    done = subprocess.run(
        ["setpriv", f"--bounding-set={drop}", f"--inh-caps={drop}", sys.executable, "-m",
         "benchlore", "--shop", str(folder.root), "add", "--from", "-"],
        input=b"Rattles\n", capture_output=True, timeout=120, check=False,
    )  # fmt: skip
    (folder.root / "kb").chmod(0o755)
    assert done.returncode == 5, done.stderr
    assert b"no case can be saved in kb/" in done.stderr and b"not allowed" in done.stderr


def test_a_new_note_has_the_folders_permissions(folder: ShopFolder) -> None:
    (folder.root / "kb").chmod(0o770)
    folder.run("add", "--from", "-", stdin="Rattles\n")
    assert stat.S_IMODE((folder.root / "kb/rattles.md").stat().st_mode) == 0o660
