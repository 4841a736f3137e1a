"""Every row of the fault table has a test that is named after it, and no test names another row."""

from __future__ import annotations

import ast
import functools
import os
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from skips import REQUIRED, unexpected

TESTS = Path(__file__).parent
ROWS: dict[str, str] = tomllib.loads((TESTS / "fault_matrix.toml").read_text("utf-8"))["rows"]
ROWS_OF_PART = {"a": 12, "b": 17, "c": 20, "d": 8, "e": 13, "f": 5}

_NAMED = re.compile(r"test_((?:[a-f]\d\d_)+)")


def named_rows(name: str) -> list[str]:
    """The rows that a test's name begins with: `test_a02_a03_disk_full` names a02 and a03."""
    match = _NAMED.match(name)
    return match[1].strip("_").split("_") if match else []


def names_in(source: str) -> Iterator[str]:
    """Names of the test functions in a module, those in classes among them."""
    for node in ast.walk(ast.parse(source)):
        is_function = isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        if is_function and node.name.startswith("test_"):
            yield node.name


@functools.cache
def all_tests() -> tuple[tuple[str, str], ...]:
    """Every test as (file, name)."""
    paths = sorted(TESTS.rglob("test_*.py"))
    return tuple((path.name, name) for path in paths for name in names_in(path.read_text("utf-8")))


def test_the_table_is_whole() -> None:
    wanted = {f"{part}{n:02}" for part, count in ROWS_OF_PART.items() for n in range(1, count + 1)}
    assert set(ROWS) == wanted
    assert len(wanted) == 75
    assert len(set(ROWS.values())) == 75


@pytest.mark.parametrize("row", sorted(ROWS))
def test_every_row_has_a_test(row: str) -> None:
    tested = {named for _, name in all_tests() for named in named_rows(name)}
    assert row in tested, f"no test shows {row}: {ROWS[row]}"


def test_every_named_row_is_in_the_table() -> None:
    strangers = [
        f"{file}: {name}" for file, name in all_tests() if set(named_rows(name)) - set(ROWS)
    ]
    assert not strangers


def test_the_names_are_read_as_meant() -> None:
    source = "def test_a02_a03_x(): ...\nclass T:\n    async def test_g01_y(self): ...\n"
    assert list(names_in(source)) == ["test_a02_a03_x", "test_g01_y"]
    assert named_rows("test_a02_a03_x") == ["a02", "a03"]
    assert named_rows("test_c99_beyond") == ["c99"]
    assert named_rows("test_a_file") == []
    assert named_rows("test_g01_y") == []


SKIPPING = """
import pytest

@pytest.mark.skipif(True, reason="E4: strace is missing")
def test_e04_skipped(): ...
"""


@pytest.mark.parametrize(("is_required", "code"), [("1", 1), ("", 0)])
def test_an_unexpected_skip_fails_the_run_where_it_must(
    tmp_path: Path, is_required: str, code: int
) -> None:
    (tmp_path / "test_skipping.py").write_text(SKIPPING)
    shutil.copy(TESTS / "conftest.py", tmp_path)
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-p", "no:cacheprovider", "-q", "--rootdir", tmp_path,
         "-c", os.devnull, tmp_path],
        env={**os.environ, REQUIRED: is_required,
             "PYTHONPATH": os.pathsep.join([*sys.path, str(TESTS)])},
        capture_output=True,
        text=True,
        check=False,
    )  # fmt: skip
    assert done.returncode == code, done.stdout + done.stderr
    assert "skipped, not expected: test_skipping.py::test_e04_skipped: E4: strace is" in done.stdout


def test_only_listed_skips_are_expected() -> None:
    listed = ("tests/notes/test_x.py::test_y", "PyYAML has no libyaml here")
    assert unexpected([listed]) == []
    assert unexpected([("tests/index/test_x.py::test_y", listed[1]), (listed[0], "why")]) != []
