"""The picture for the manual, and what the start costs."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from benchlore.shop import Shop
from benchlore.tui.picture import save_picture


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


def test_the_start_loads_nothing_heavy() -> None:
    heavy = "{'numpy', 'onnxruntime', 'tokenizers', 'faiss', 'torch', 'markdown_it', 'yaml'}"
    program = f"import sys, benchlore.tui.app; print(sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert done.stdout.decode().strip() == "[]"
