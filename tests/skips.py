"""Which skipped tests were expected: a fault that cannot be injected must not pass unseen."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Sequence
from pathlib import Path

REQUIRED = "BENCHLORE_REQUIRE_FAULTS"
"""Set where every fault can be injected (.ci/run): there an unexpected skip fails the run."""

EXPECTED = Path(__file__).parent / "expected_skips.toml"


def unexpected(skipped: Sequence[tuple[str, str]]) -> list[str]:
    """Those of the skipped tests, (id, reason) each, that `expected_skips.toml` does not list."""
    listed = tomllib.loads(EXPECTED.read_text("utf-8")).get("skip", [])
    return [
        f"{test}: {why}"
        for test, why in skipped
        if not any(each["test"] in test and each["why"] in why for each in listed)
    ]


def required() -> bool:
    return os.environ.get(REQUIRED, "") not in ("", "0")
