"""Shared by the tests of notes/."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager

import pytest
from hypothesis import settings

from benchlore.notes import Note, read_note

settings.register_profile("nothing kept", database=None)
settings.load_profile("nothing kept")


@pytest.fixture
def read() -> Callable[..., Note]:
    """Reads a note given as text or bytes."""

    def _read(content: str | bytes, path: str = "kb/2025/2025-0147.md") -> Note:
        return read_note(path, content.encode() if isinstance(content, str) else content)

    return _read


@pytest.fixture(params=["with libyaml", "without libyaml"])
def either_parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> None:
    """Runs a test with both of PyYAML's parsers."""
    import yaml

    from benchlore.notes import nodes

    if request.param == "without libyaml":
        monkeypatch.setattr(nodes, "LOADER", yaml.BaseLoader)
    elif not yaml.__with_libyaml__:
        pytest.skip("PyYAML has no libyaml here")


@pytest.fixture
def at_most() -> Callable[[float], AbstractContextManager[None]]:
    """Fails when a block takes more than ten times the seconds given: machines may be busy."""

    @contextmanager
    def _at_most(seconds: float) -> Iterator[None]:
        start = time.perf_counter()
        yield
        assert time.perf_counter() - start < 10 * seconds

    return _at_most
