"""`benchlore read`: with the words of the shop, and without a shop."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from shops import run_benchlore

SENTENCE = "rattles with the kettle on"


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    (tmp_path / "shop" / "kb").mkdir(parents=True)
    settings = '[vocabulary]\nconditions.temp.cold = ["with the kettle on"]\n'
    (tmp_path / "shop" / "shop.toml").write_text(settings, "utf-8")
    return tmp_path / "shop"


def readings(*arguments: str) -> list[tuple[str, str, str]]:
    done = run_benchlore(*arguments, "read", SENTENCE, "--json")
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout)["reading"]
    return [(item["axis"], item["value"], item["polarity"]) for item in found]


def test_the_shops_own_words_are_read(shop: Path) -> None:
    assert readings("--shop", str(shop)) == [("temp", "cold", "present")]
    done = run_benchlore("--shop", str(shop), "read", SENTENCE)
    assert b"temp cold, from: with the kettle on" in done.stdout


def test_no_shop_is_needed(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "benchlore", "read", "--json", SENTENCE, "when hot"],
        cwd=tmp_path,
        capture_output=True,
        check=True,
    )
    assert [item["value"] for item in json.loads(done.stdout)["reading"]] == ["hot"]
    assert done.stderr == b""


def test_a_shop_that_is_named_must_be_one(tmp_path: Path) -> None:
    for arguments, env in (
        (("--shop", str(tmp_path)), {}),
        ((), {"BENCHLORE_SHOP": str(tmp_path)}),
    ):
        done = run_benchlore(*arguments, "read", SENTENCE, env=env)
        assert done.returncode == 4 and b"neither kb/ nor articles/" in done.stderr


def test_what_is_wrong_in_the_section_is_said_and_the_rest_is_read(shop: Path) -> None:
    with (shop / "shop.toml").open("a", encoding="utf-8") as file:
        file.write('conditions.temp.tepid = ["lukewarm"]\n')
    done = run_benchlore("--shop", str(shop), "read", SENTENCE)
    assert done.returncode == 0 and b"temp cold" in done.stdout
    assert b"shop.toml: vocabulary.conditions.temp.tepid is none of cold" in done.stderr


def test_the_settings_of_a_new_shop_show_the_section_as_it_works(tmp_path: Path) -> None:
    run_benchlore("init", str(tmp_path / "new"))
    settings = tmp_path / "new" / "shop.toml"
    lines = settings.read_text("utf-8").splitlines()
    start = lines.index("# [vocabulary]")
    lines[start:] = [line.removeprefix("# ") for line in lines[start:]]
    settings.write_text("\n".join(lines), "utf-8")
    done = run_benchlore("--shop", str(tmp_path / "new"), "read", "knocks before its tea")
    assert done.stderr == b"" and b"temp cold, from: before its tea" in done.stdout
