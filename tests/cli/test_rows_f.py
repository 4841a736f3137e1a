"""Broken settings, no home, stopped and continued (rows F2, F4 and F5)."""

from __future__ import annotations

import contextlib
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import faults
from benchlore.errors import BUSY, NEEDS_A_LOOK
from benchlore.shop import read_settings
from shops import ShopFolder

BROKEN = {
    "no value": ("currency =\n", "line 1"),
    "open quote": ('currency = "GBP"\nlabour_rate = 60\nx = "open\n', "line 3"),
    "twice": ('currency = "GBP"\ncurrency = "EUR"\n', "line 2"),
    "deep list": ("x = " + "[" * 5000, "nested too deep"),
    "deep table": ("[" + ".".join("a" * 3000) + "]\nx = 1\n", ""),
    "deep words": ("[vocabulary]\n" + ".".join("a" * 3000) + " = 1\n", "vocabulary"),
    "not text": (b"currency = '\xff'\n", "not UTF-8"),
    "too large": ("# " + "x" * 70_000, "larger than 64 kB"),
    "wrong shape": ("currency = [1]\nlabour_rate = 'much'\nmodel = 3\n", "currency must be"),
    "no number": ("labour_rate = nan\n", "labour_rate must be"),
    "endless": ("labour_rate = inf\n", "labour_rate must be"),
    "below nothing": ("labour_rate = -5\n", "labour_rate must be"),
    "beyond a float": ("labour_rate = " + "9" * 400, "labour_rate must be"),
    "beyond reading": ("labour_rate = " + "9" * 5000, "a number is too long"),
    "no day": ("x = 2025-02-30\n", "line 1"),
    "folder": ('[model]\nfolder = "a\\u0000b"\n', "model.folder must be"),
    "control": ('currency = "a\x1b[31m"\n', "line 1"),
}


@pytest.mark.parametrize("name", BROKEN)
def test_f02_broken_settings_are_named_and_defaults_used(
    shop_folder: ShopFolder, name: str
) -> None:
    text, told = BROKEN[name]
    file = shop_folder.write("shop.toml", text)
    read = shop_folder.shop.settings
    assert told in " ".join(read.problems)
    assert bool(read.problems) == bool(told)
    assert all(problem.startswith("shop.toml") for problem in read.problems)
    assert read.labour_rate is None
    assert file.read_bytes() == (text if isinstance(text, bytes) else text.encode())


def test_f02_a_build_with_broken_settings_is_done_and_says_so(shop_folder: ShopFolder) -> None:
    shop_folder.write("kb/hum.txt", "hum\n")
    shop_folder.write("shop.toml", 'currency = "GBP"\nlabour_rate =\n')
    done = shop_folder.run("build")
    assert done.returncode == NEEDS_A_LOOK
    assert b"shop.toml: Invalid value (at line 2, column 14); defaults used" in done.stderr
    assert b"Traceback" not in done.stderr
    found = shop_folder.run("find", "hum")
    assert found.returncode == 0
    assert b"kb/hum.txt" in found.stdout
    assert b"shop.toml:" in found.stderr


def test_f02_unknown_keys_are_kept_and_harm_nothing(shop_folder: ShopFolder) -> None:
    text = 'currency = "GBP"\nbay_count = 4\n[doors]\nopen = true\n'
    file = shop_folder.write("shop.toml", text)
    assert shop_folder.shop.settings.currency == "GBP"
    assert shop_folder.shop.settings.problems == ()
    shop_folder.build()
    assert file.read_text() == text


TOML = st.lists(
    st.sampled_from(
        ["currency", "labour_rate", "model", "vocabulary", "words", "conditions", "folder", " = ",
         "=", "[", "]", "[[", "]]", "{", "}", ".", ",", "\n", "'", '"', '"""', "#", "60", "1e999",
         "9" * 400, "9" * 5000,
         "nan", "2025-02-30", "true", "\x00", "\x1b", "\u202e", "\u00e9", "temp.cold", "0x", "_"]
    ),
    max_size=30,
).map("".join)  # fmt: skip


@settings(
    max_examples=400,
    deadline=None,
    database=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(TOML)
def test_f02_any_settings_at_all(tmp_path: Path, text: str) -> None:
    (tmp_path / "shop.toml").write_bytes(text.encode("utf-8", "surrogatepass"))
    read = read_settings(tmp_path)
    assert all(isinstance(problem, str) and "\n" not in problem for problem in read.problems)


def run_bare(shop: ShopFolder, command: str, **env: str) -> subprocess.CompletedProcess[bytes]:
    """Run a command with nothing in its environment but `env` and where the program lies."""
    kept = {"PYTHONPATH": os.pathsep.join(sys.path)}
    return subprocess.run(
        [sys.executable, "-m", "benchlore", "--shop", str(shop.root), *command.split()],
        env={**kept, **env},
        capture_output=True,
        timeout=120,
        check=False,
    )


NOWHERE = "/no such folder"


@pytest.mark.parametrize(
    "env",
    [
        {},
        {"HOME": NOWHERE, "TMPDIR": NOWHERE, "XDG_STATE_HOME": NOWHERE, "XDG_CACHE_HOME": NOWHERE},
    ],
    ids=["nothing set", "nowhere"],
)
def test_f04_without_a_home_notes_are_built_found_and_shown(
    shop_folder: ShopFolder, env: Mapping[str, str]
) -> None:
    shop_folder.write("kb/hum.txt", "hum\n")
    for command in ("build", "find hum", "show kb/hum.txt"):
        done = run_bare(shop_folder, command, **env)
        assert done.returncode == 0, done.stderr
        assert b"hum" in done.stdout or command == "build"


def test_f04_a_full_or_read_only_home_stops_nothing(
    shop_folder: ShopFolder, tmp_path: Path
) -> None:
    home = tmp_path / "home"
    with faults.disk("F4", home, "size=64k"):
        faults.fill(home)
        shop_folder.write("kb/hum.txt", "hum\n")
        surroundings = {"HOME": str(home), "TMPDIR": str(home)}
        assert run_bare(shop_folder, "build", **surroundings).returncode == 0
        faults.read_only("F4", home)
        done = run_bare(shop_folder, "find hum", **surroundings)
        assert done.returncode == 0 and b"kb/hum.txt" in done.stdout, done.stderr


@contextlib.contextmanager
def building(shop: ShopFolder) -> Iterator[subprocess.Popen[bytes]]:
    """A build that is under way and holds its lock."""
    process = subprocess.Popen(
        [sys.executable, "-m", "benchlore", "--shop", str(shop.root), "build"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )
    try:
        assert process.stderr is not None
        assert any(b"reading notes" in line for line in process.stderr)
        yield process
    finally:
        if process.poll() is None:
            process.kill()
        process.communicate()


def test_f05_a_build_that_is_stopped_keeps_its_lock_and_goes_on(shop_folder: ShopFolder) -> None:
    for number in range(60):
        shop_folder.write(f"kb/{number}.txt", f"noise {number} from the rear axle\n" * 5)
    with building(shop_folder) as process:
        process.send_signal(signal.SIGSTOP)
        assert os.WIFSTOPPED(os.waitpid(process.pid, os.WUNTRACED)[1]), "it is not stopped"
        other = shop_folder.run("build")
        assert other.returncode == BUSY
        assert b"another build runs since" in other.stderr
        time.sleep(0.5)
        process.send_signal(signal.SIGCONT)
        assert process.wait(timeout=120) == 0
    assert shop_folder.run("find", "noise").returncode == 0
    assert b"nothing had changed" in shop_folder.run("build").stdout
