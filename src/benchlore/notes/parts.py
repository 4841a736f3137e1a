"""A note taken apart for a form: front matter as plain values, and its body."""

from __future__ import annotations

import difflib
from collections.abc import Collection
from dataclasses import dataclass

from benchlore.notes.compose import ORDER
from benchlore.notes.decode import Decoded, decode
from benchlore.notes.edit import NotEditable, refuse_uneditable
from benchlore.notes.frontmatter import read_front_matter
from benchlore.notes.lines import LineIndex, first_line_end, split_lines, without_end
from benchlore.notes.nodes import Node, Scalar, Seq, key_name
from benchlore.notes.quoting import Value

_INNER = {
    "machine": ("make", "model", "year", "engine", "odometer"),
    "outcome": ("result", "date", "after", "comeback"),
    "checks": ("check", "found", "value", "limit", "limit_from", "minutes", "ok", "rules_out",
               "points_to"),
    "causes": ("part", "fault", "certainty"),
    "routes": ("route", "parts_cost", "outside_cost", "labour_hours", "chosen"),
}  # fmt: skip
"""The format's names inside a group or a table's row."""


@dataclass(frozen=True, slots=True)
class Parts:
    """What a note consists of.

    Attributes:
        fields: the front matter, all scalars as texts; of a key that stands twice the first.
        body: what stands below it, `\\n` at its line ends.
    """

    fields: dict[str, Value]
    body: str


def read_parts(data: bytes) -> Parts:
    """Take a note apart.

    Raises:
        NotEditable: the front matter cannot be read as a whole, or is of a newer format.
        NotText: the file is no text.
    """
    decoded = decode(data)
    matter = read_front_matter(decoded.text, LineIndex(decoded.text))
    refuse_uneditable(matter)
    fields: dict[str, Value] = {}
    for entry in matter.entries:
        name = _known(entry.key.text, ORDER)
        fields.setdefault(name, _value(entry.value, _INNER.get(name, ())))
    lines = split_lines(decoded.text[matter.body :])
    body = "".join(
        without_end(line) + ("\n" if line != without_end(line) else "") for line in lines
    )
    return Parts(fields, body)


def _value(node: Node, names: tuple[str, ...] = ()) -> Value:
    """A node as plain values; keys inside that are spelled otherwise get the format's `names`."""
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Seq):
        return [_value(item, names) for item in node.items]
    out: dict[str, Value] = {}
    for entry in node.entries:
        out.setdefault(_known(entry.key.text, names), _value(entry.value))
    return out


def _known(key: str, names: Collection[str]) -> str:
    """The format's name for `key`, where it is one spelled otherwise (`Rules out`)."""
    name = key_name(key)
    return name if name in names else key


def set_body(data: bytes, body: str) -> bytes:
    """Put `body` in place of a note's body; lines that stay keep every byte.

    New lines get the line end of the file's first line.

    Raises:
        NotEditable: the file's encoding has not all characters of `body`, or the body would be
            read as front matter.
        NotText: the file is no text.
    """
    decoded = decode(data)
    start = read_front_matter(decoded.text, LineIndex(decoded.text)).body
    old = split_lines(decoded.text[start:])
    end = first_line_end(decoded.text)
    new = [without_end(line) for line in split_lines(body)]
    kept = difflib.SequenceMatcher(None, [without_end(line) for line in old], new, autojunk=False)
    out, at = decoded.raw[:start], start
    offsets = [at := at + len(line) for line in ["", *old]]
    for tag, i1, i2, j1, j2 in kept.get_opcodes():
        if tag == "equal":
            out = _ended(out, end) + decoded.raw[offsets[i1] : offsets[i2]]
        else:
            for line in new[j1:j2]:
                out = _ended(out, end) + _insertable(decoded, line + end)
    if split_lines(body) and body[-1] not in "\r\n" and new and out.endswith(end):
        out = out.removesuffix(end)
    changed = decoded.encode(out) + data[decoded.used :]
    again = read_parts(changed)
    if without_blank(again.body) != without_blank(body) or again.fields != read_parts(data).fields:
        raise NotEditable("the text cannot be changed safely here", "edit the file by hand")
    return changed


def without_blank(body: str) -> str:
    """`body` with `\\n` at its line ends and none at its end, to be compared."""
    return "\n".join(without_end(line) for line in split_lines(body)).rstrip("\n")


def _ended(text: str, end: str) -> str:
    """`text` with its last line ended, so that another can follow."""
    return text if not text or text[-1] in "\r\n" else text + end


def _insertable(decoded: Decoded, line: str) -> str:
    raw = decoded.insertable(line)
    if raw is None:
        raise NotEditable(
            f"the file is in the encoding {decoded.encoding}, which has not all these characters",
            "save it as UTF-8 in an editor first",
        )
    return raw
