"""The search screen needs no network and never asks for one (row F3)."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from shops import ShopFolder
from terminal import use_on_a_terminal

WITHOUT_NETWORK = ("unshare", "--net")


def can_unshare() -> bool:
    if not shutil.which("unshare"):
        return False
    return subprocess.run([*WITHOUT_NETWORK, "true"], capture_output=True).returncode == 0


@pytest.mark.skipif(not can_unshare(), reason="F3: unshare --net is not allowed here")
@pytest.mark.skipif(not shutil.which("strace"), reason="F3: strace is missing")
def test_f03_the_screen_works_without_a_network_and_never_asks_for_one(
    shop_folder: ShopFolder, tmp_path: Path
) -> None:
    shop_folder.write("kb/hum.md", "# Rumble under the floor\n")
    shop_folder.build()
    shop_folder.write("kb/new.md", "# Squeal from the belt\n")  # so that a build runs, too
    log = tmp_path / "calls"
    strace = ("strace", "-f", "-qq", "-o", str(log), "-e", "trace=socket,connect")
    sent = use_on_a_terminal(
        shop_folder.root,
        (80, 24),
        [(b"rumble", 12.0), (b"\r", 3.0), (b"\x11", 1.0)],
        before=(*WITHOUT_NETWORK, *strace),
    )
    assert b"Rumble under the floor" in sent
    assert not re.findall(r"AF_INET6?\b.*", log.read_text())
