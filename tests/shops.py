"""Shops in temporary folders, and the command line run upon them."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

from benchlore.index.build import BuildResult, build
from benchlore.index.opened import open_index
from benchlore.index.progress import Progress
from benchlore.search.engine import Engine
from benchlore.shop import Shop, find_shop

REPOSITORY = Path(__file__).resolve().parent.parent


def no_report(progress: Progress) -> None:
    """A build that nobody watches."""


class ShopFolder:
    """A shop in a temporary folder, with the encoder of `exported_model` in its index."""

    def __init__(self, root: Path, model: Path) -> None:
        self.root = root
        (root / "kb").mkdir(parents=True)
        (root / "articles").mkdir()
        shutil.copytree(model, root / "index")

    @property
    def shop(self) -> Shop:
        return find_shop(str(self.root))

    def write(self, path: str, text: str | bytes) -> Path:
        """Write a note below the shop and return its place."""
        file = self.root / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(text.encode() if isinstance(text, str) else text)
        return file

    def build(self) -> BuildResult:
        return build(self.shop, no_report)

    def engine(self) -> Engine:
        return Engine(open_index(self.shop))

    def run(
        self, *arguments: str, stdin: str | bytes = "", env: Mapping[str, str] | None = None
    ) -> subprocess.CompletedProcess[bytes]:
        """Run `benchlore --shop HERE ARGUMENTS...` as a process of its own, without a terminal."""
        return run_benchlore("--shop", str(self.root), *arguments, stdin=stdin, env=env)


def run_benchlore(
    *arguments: str, stdin: str | bytes = "", env: Mapping[str, str] | None = None
) -> subprocess.CompletedProcess[bytes]:
    """Run the command line as a process of its own, without a terminal."""
    return subprocess.run(
        [sys.executable, "-m", "benchlore", *arguments],
        input=stdin.encode() if isinstance(stdin, str) else stdin,
        capture_output=True,
        timeout=120,
        check=False,
        env={**os.environ, **(env or {})},
    )
