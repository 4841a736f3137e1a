"""`show`, `init`, `build`, help and completion."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from benchlore.cli.main import COMMANDS
from shops import REPOSITORY, ShopFolder, run_benchlore

NOTE = "---\ncase: 2025-0147\nsystem: wheels\ncautions: [mind the hub]\nsymptom: Hum\n---\nText.\n"


def test_show_prints_cautions_then_the_note_with_its_lines(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.md", NOTE)
    shop_folder.build()
    done = shop_folder.run("show", "2025-0147")
    text = done.stdout.decode()
    assert done.returncode == 0
    assert text.index("mind the hub") < text.index("Lift on the marked") < text.index("1  ---")
    assert "7  Text." in text
    assert shop_folder.run("show", "0147").stdout == done.stdout
    assert shop_folder.run("show", "kb/hum.md").stdout == done.stdout


FILES = NOTE.replace("symptom:", "files: [hum-files/a.pdf, gone.jpg, ../../x.png]\nsymptom:")


def test_show_lists_the_files_with_their_state(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.md", FILES)
    shop_folder.write("kb/hum-files/a.pdf", b"%PDF-1.7\n" + bytes(1500))
    done = shop_folder.run("show", "kb/hum.md")
    text = done.stdout.decode()
    assert text.index("Lift on the marked") < text.index("Files:") < text.index("1  ---")
    assert "- hum-files/a.pdf: document, 2 kB\n" in text
    assert "- gone.jpg: missing\n" in text
    assert done.returncode == 3
    shop_folder.write("kb/hum.md", FILES.replace(", gone.jpg, ../../x.png", ""))
    assert shop_folder.run("show", "kb/hum.md").returncode == 0


def test_b03_show_tells_a_file_that_lies_outside(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.md", FILES)
    done = shop_folder.run("show", "kb/hum.md", "--json")
    assert json.loads(done.stdout)["files"] == ["hum-files/a.pdf", "gone.jpg", "../../x.png"]
    assert done.returncode == 3
    done = shop_folder.run("show", "kb/hum.md")
    assert b"- ../../x.png: leads outside the shop folder: not opened\n" in done.stdout


def test_text_in_a_notes_folder_of_files_is_not_found_as_a_case(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.md", FILES)
    shop_folder.write("kb/hum-files/scope.txt", "Squeaks like a mouse\n")
    assert shop_folder.build().notes == 1


def test_show_json_gives_all_that_the_note_states(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.md", NOTE)
    note = json.loads(shop_folder.run("show", "kb/hum.md", "--json").stdout)
    assert (note["file"], note["case"], note["text"]) == ("kb/hum.md", "2025-0147", NOTE)
    assert note["cautions"][0] == "mind the hub"


def test_show_asks_which_of_two_notes_with_one_number(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/a.md", NOTE)
    shop_folder.write("kb/b.md", NOTE + "More.\n")
    shop_folder.build()
    done = shop_folder.run("show", "2025-0147")
    assert done.returncode == 2
    assert b"2 notes have case 2025-0147: kb/a.md, kb/b.md" in done.stderr


def test_c09_a_case_number_is_found_exactly_as_typed(shop_folder: ShopFolder) -> None:
    for number in ("0147", "1E10", "1_000", "0x1F", "2025-01-47"):
        shop_folder.write(f"kb/n{number}.md", f"---\ncase: {number}\n---\n# Hum {number}\n")
    shop_folder.build()
    for number in ("0147", "1E10", "1_000", "0x1F", "2025-01-47"):
        assert f"Hum {number}" in shop_folder.run("show", number).stdout.decode()


def test_c20_unreadable_cautions_are_named_before_any_finding(shop_folder: ShopFolder) -> None:
    shop_folder.write(
        "kb/hum.md",
        "---\nsymptom: Hum from the rear\nchecks:\n  - {check: play, value: 0.14 mm}\n"
        "cautions: [stands under: [the axle\n---\nText.\n",
    )
    assert shop_folder.run("build").returncode == 3
    warning = "the cautions of this note could not be read: open it first"
    found = shop_folder.run("find", "hum").stdout.decode()
    assert found.index(warning) < found.index("play: 0.14 mm")
    answer = json.loads(shop_folder.run("find", "hum", "--json").stdout)
    assert answer["cases"][0]["cautions"][0] == warning
    shown = shop_folder.run("show", "kb/hum.md").stdout.decode()
    assert shown.index(warning) < shown.index("check: play")


def test_a_broken_note_costs_only_itself(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/broken.md", "---\nsymptom: squeal: when cold\nsystem: brakes\n---\n")
    shop_folder.write("kb/sound.md", "# Hum from the rear\n")
    done = shop_folder.run("build")
    assert done.returncode == 3
    assert b"kb/broken.md:2:" in done.stderr and b"quotes" in done.stderr
    found = json.loads(shop_folder.run("find", "squeal when cold", "--json").stdout)
    assert found["cases"][0]["file"] == "kb/broken.md"


def test_init_starts_a_shop_that_builds(tmp_path: Path) -> None:
    shop = tmp_path / "new shop"
    done = run_benchlore("init", str(shop))
    assert done.returncode == 0
    assert sorted(path.name for path in shop.iterdir()) == ["articles", "kb", "shop.toml"]
    first = (shop / "kb/first-note.md").read_bytes()
    again = run_benchlore("init", str(shop))
    assert b"nothing was changed" in again.stdout
    assert (shop / "kb/first-note.md").read_bytes() == first


def test_init_leaves_existing_notes_alone(tmp_path: Path) -> None:
    (tmp_path / "kb").mkdir()
    (tmp_path / "kb/mine.md").write_text("# Hum\n")
    run_benchlore("init", str(tmp_path))
    assert [path.name for path in (tmp_path / "kb").iterdir()] == ["mine.md"]


def test_the_search_screen_needs_a_terminal(shop_folder: ShopFolder) -> None:
    done = shop_folder.run()
    assert done.returncode == 2
    assert b"the search screen needs a terminal" in done.stderr


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_an_example_and_stands_in_the_readme(command: str) -> None:
    text = run_benchlore(command, "--help").stdout.decode()
    assert "Example" in text and f"benchlore {command}" in text
    assert f"benchlore {command}" in (REPOSITORY / "README.md").read_text("utf-8")


def test_help_and_readme_list_the_same_exit_codes() -> None:
    text = run_benchlore("--help").stdout.decode()
    readme = (REPOSITORY / "README.md").read_text("utf-8")
    for code in ("0", "1", "2", "3", "4", "5", "6", "130"):
        assert re.search(rf"^ +{code}  \w", text, re.M)
        assert f"| {code} |" in readme


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_is_there_for_each_shell(shell: str) -> None:
    done = run_benchlore(env={"_BENCHLORE_COMPLETE": f"{shell}_source"})
    assert b"benchlore" in done.stdout


def test_completion_offers_commands_and_systems() -> None:
    def complete(words: str, place: int) -> str:
        env = {
            "_BENCHLORE_COMPLETE": "bash_complete",
            "COMP_WORDS": words,
            "COMP_CWORD": str(place),
        }
        return run_benchlore(env=env).stdout.decode()

    assert "plain,build" in complete("benchlore b", 1)
    assert "plain,wheels" in complete("benchlore find --system wh", 3)
