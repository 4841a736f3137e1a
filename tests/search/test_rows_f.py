"""Odd questions, and the network (rows F of the reliability table)."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchlore.errors import UsageError
from benchlore.search.engine import Engine
from benchlore.search.results import Question
from shops import ShopFolder

ODD = [
    "", " ", "L/H", '"', "AND", "OR NOT", "-cold", "NEAR(", "(" * 5000, "a\0b", "\ud800",
    "x" * 1_000_000, "*", "col:umn", "'; DROP TABLE notes; --", "^", "{}", "hum\nrumble", "±²½",
    "cold " * 3000, "🔧", "\u202e",
]  # fmt: skip


def ask(engine: Engine, text: str) -> None:
    try:
        answer = engine.find(Question(text))
    except UsageError as error:
        assert str(error) == "type a symptom"
        assert not any(char.isalnum() for char in text)
    else:
        assert answer.cases


@pytest.mark.parametrize("text", ODD, ids=lambda text: repr(text[:20]))
def test_f01_an_odd_question_gets_an_answer_or_a_plain_word(demo: Engine, text: str) -> None:
    ask(demo, text)


@pytest.mark.parametrize("text", [t for t in ODD if len(t) < 100_000 and "\0" not in t])
def test_f01_the_command_line_too(shop_folder: ShopFolder, text: str) -> None:
    shop_folder.write("kb/hum.txt", "hum\n")
    shop_folder.build()
    done = shop_folder.run("find", "--", text.encode("utf-8", "replace").decode())
    assert done.returncode in (0, 1, 2)
    assert b"Traceback" not in done.stderr
    if done.returncode == 2:
        assert b"type a symptom" in done.stderr


@settings(max_examples=300, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    st.one_of(
        st.text(max_size=60),
        st.lists(st.sampled_from(ODD[:5] + ODD[5:8] + ODD[12:]), max_size=4).map(" ".join),
    )
)
def test_f01_any_text_at_all(demo: Engine, text: str) -> None:
    ask(demo, text[:3000])


WITHOUT_NETWORK = ["unshare", "--net"]

REPORTS_AFTER_S = 12
"""Longer than a library was seen to wait before it reported its use over the network (6 s)."""


def can_unshare() -> bool:
    if not shutil.which("unshare"):
        return False
    return subprocess.run([*WITHOUT_NETWORK, "true"], capture_output=True).returncode == 0


@pytest.mark.skipif(not can_unshare(), reason="F3: unshare --net is not allowed here")
@pytest.mark.skipif(not shutil.which("strace"), reason="F3: strace is missing")
def test_f03_build_and_find_work_without_a_network_and_never_ask_for_one(
    shop_folder: ShopFolder, tmp_path: Path
) -> None:
    shop_folder.write("kb/hum.txt", "hum\n")
    shutil.rmtree(shop_folder.root / "index")  # so that the model is exported too
    log = tmp_path / "calls"
    for command in (["build"], ["find", "--json", "-"]):
        process = subprocess.Popen(
            [*WITHOUT_NETWORK, "strace", "-f", "-qq", "-o", str(log), "-e", "trace=socket,connect",
             sys.executable, "-m", "benchlore", "--shop", str(shop_folder.root), *command],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
        )  # fmt: skip
        assert process.stdin and process.stdout
        if "find" in command:
            process.stdin.write(b"hum\n")
            process.stdin.flush()
            assert b"kb/hum.txt" in process.stdout.readline()
            time.sleep(REPORTS_AFTER_S)
        process.communicate(timeout=240)
        assert process.returncode == 0
        assert not re.findall(r"AF_INET6?\b.*", log.read_text())
