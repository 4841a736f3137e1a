"""Imports point one way, and a search loads nothing heavy."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from benchlore import errors

SOURCE = Path(errors.__file__).parent

WORK = {"errors", "shop", "notes", "language", "index", "search", "evidence"}

BELOW = {
    "errors": set(),
    "text": set(),
    "notes": {"errors"},
    "language": {"errors", "notes"},
    "shop": {"errors", "language"},
    "index": {"errors", "shop", "notes", "language"},
    "search": {"errors", "shop", "notes", "language", "index"},
    "evidence": {"errors", "shop", "notes", "language", "index", "search"},
    "keeping": {"errors", "shop", "notes"},
    "checking": {"errors", "shop", "notes", "language", "index", "keeping"},
    "importing": {"errors", "shop", "notes", "language", "index", "keeping"},
    "writeup": {*WORK, "keeping", "checking"},
    "tui": {*WORK, "text", "keeping", "checking", "importing", "writeup"},
    "cli": {*WORK, "text", "keeping", "checking", "importing", "writeup", "tui"},
    "__main__": {"cli"},
    "__init__": set(),
}
"""What each layer may import besides itself (and the version, from the package itself)."""


def layer_of(path: Path) -> str:
    return path.relative_to(SOURCE).parts[0].removesuffix(".py")


def imported_layers(path: Path) -> set[str]:
    found = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        names = []
        if isinstance(node, ast.ImportFrom) and node.module and not node.level:
            names = [node.module]
            if node.module == "benchlore":
                names = [f"benchlore.{alias.name}" for alias in node.names]
        elif isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        found |= {name.split(".")[1] for name in names if name.startswith("benchlore.")}
    return found - {"__version__"}


@pytest.mark.parametrize("path", sorted(SOURCE.rglob("*.py")), ids=str)
def test_a_layer_imports_only_what_lies_below_it(path: Path) -> None:
    layer = layer_of(path)
    assert imported_layers(path) - {layer} <= BELOW[layer]


def test_every_layer_is_in_the_table() -> None:
    assert {layer_of(path) for path in SOURCE.rglob("*.py")} <= set(BELOW)


def test_the_check_sees_a_wrong_import(tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.py"
    wrong.write_text("from benchlore import errors\nimport benchlore.tui.app\n")
    assert imported_layers(wrong) == {"errors", "tui"}


def test_find_loads_neither_torch_nor_textual() -> None:
    program = (
        "import sys, benchlore.cli.find, benchlore.cli.main\n"
        "bad = {'torch', 'textual', 'sentence_transformers', 'transformers'} & set(sys.modules)\n"
        "print(sorted(bad))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert done.stdout.decode().strip() == "[]"
