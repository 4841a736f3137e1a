"""Reads the sentence files: a sentence on one line, then `= +axis=value; -axis=value`."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from benchlore.language import Reading, read_conditions

DATA = Path(__file__).parent / "data"
_GRADE = re.compile(r" \((?:worse|better)\)$")


def load(name: str) -> list[tuple[str, list[str]]]:
    """Return the sentences of a file with their expected readings."""
    found: list[tuple[str, list[str]]] = []
    sentence = ""
    for line in (DATA / name).read_text("utf-8").splitlines():
        line = line.strip()
        if not line or line.startswith("#"):
            continue
        if line.startswith("= "):
            readings = line[2:].split(";")
            found.append((sentence, [r.strip() for r in readings if r.strip() != "none"]))
        else:
            sentence = line
    return found


def written(reading: Reading) -> str:
    """Return a reading in the form of the files."""
    if reading.value == "any":
        return f"{reading.axis}=any"
    sign = "+" if reading.polarity == "present" else "-"
    equals = "" if reading.value[0] in "<>" else "="
    grade = f" ({reading.grade})" if reading.grade else ""
    return f"{sign}{reading.axis}{equals}{reading.value}{grade}"


def read(text: str) -> set[str]:
    """Return the readings of `text` in the form of the files."""
    return {written(reading) for reading in read_conditions(text)}


def ungraded(readings: Iterable[str]) -> set[str]:
    """Return readings without their grades."""
    return {_GRADE.sub("", reading) for reading in readings}


def score(sentences: Iterable[tuple[str, list[str]]]) -> tuple[float, float]:
    """Return precision and recall of (axis, value, polarity) over sentences."""
    right = read_too_much = missed = 0
    for sentence, expected in sentences:
        wanted, got = ungraded(expected), ungraded(read(sentence))
        right += len(wanted & got)
        read_too_much += len(got - wanted)
        missed += len(wanted - got)
    return right / (right + read_too_much), right / (right + missed)
