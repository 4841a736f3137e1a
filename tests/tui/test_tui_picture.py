"""The picture for the manual, and what the start costs."""

from __future__ import annotations

import html
import re
import subprocess
import sys
from pathlib import Path

from benchlore.search.engine import Engine
from benchlore.shop import Shop
from benchlore.tui.picture import save_picture
from shops import REPOSITORY


def test_the_picture_is_the_same_each_time_and_fetches_nothing(
    built_shop: Shop, tmp_path: Path
) -> None:
    first, second = tmp_path / "1.svg", tmp_path / "2.svg"
    for path in (first, second):
        save_picture(built_shop, path, symptom="hums loud on right-handers")
    svg = first.read_text("utf-8")
    assert svg == second.read_text("utf-8")
    assert "Hums&#160;from&#160;35&#160;mph" in svg
    assert "url(http" not in svg and "@font-face" not in svg


def words_of(svg: str) -> list[str]:
    """What the picture shows, without its colours and places."""
    return html.unescape(re.sub(r"<[^>]*>", " ", svg)).split()


def test_the_picture_in_the_readme_shows_the_screen_as_it_is_now(
    demo: Engine, tmp_path: Path
) -> None:
    save_picture(demo.index.shop, tmp_path / "now.svg")
    committed = REPOSITORY / ".github" / "screen.svg"
    assert words_of((tmp_path / "now.svg").read_text("utf-8")) == words_of(
        committed.read_text("utf-8")
    ), "python -m benchlore.tui.picture .github/screen.svg makes it anew"


def test_the_start_loads_nothing_heavy() -> None:
    heavy = "{'numpy', 'onnxruntime', 'tokenizers', 'faiss', 'torch', 'markdown_it', 'yaml'}"
    program = f"import sys, benchlore.tui.app; print(sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert done.stdout.decode().strip() == "[]"
