"""Front matter to the fields of a note, tolerant of shapes that are not quite right.

Where the meaning is plain a value is used (one text where a list is meant, a list where a text is
meant, checks as a list of texts). What has no place is kept in `extra`; nothing is dropped.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from benchlore.notes.frontmatter import FrontMatter
from benchlore.notes.lines import LineIndex
from benchlore.notes.model import (
    Cause,
    Check,
    Lines,
    Machine,
    Outcome,
    Problem,
    Route,
    Stated,
)
from benchlore.notes.nodes import Entry, Map, Node, Scalar, Seq, as_text, key_name
from benchlore.notes.scalars import read_date

FORMAT = "1"

_TEXTS = ("case", "title", "date", "by", "system")
_STATED = ("symptom", "where")
_STATED_LISTS = ("present", "absent", "codes", "cautions", "covers", "files")
_OTHER_NAMES = {
    "caution": "cautions",
    "code": "codes",
    "check": "checks",
    "cause": "causes",
    "file": "files",
}
_LISTS_BY_COMMA = ("codes", "see")

_CHECK = ("check", "found", "value", "limit", "limit_from", "minutes", "ok")
_CHECK_LISTS = ("rules_out", "points_to")
_CAUSE = ("part", "fault", "certainty")
_ROUTE = ("route", "parts_cost", "outside_cost", "labour_hours", "chosen")
_MACHINE = ("make", "model", "year", "engine", "odometer")
_OUTCOME = ("result", "date", "after", "comeback")


def read_fields(text: str, matter: FrontMatter, index: LineIndex) -> dict[str, Any]:
    """Keyword arguments for `Note`: every field that the front matter gives, and `problems`."""
    reader = _Fields(index)
    for entry in matter.entries:
        reader.take(entry)
    for span in matter.unread:
        written = text[span.start : span.end].rstrip()
        start = span.start + len(written) - len(written.lstrip("\r\n"))
        reader.extra.append(
            Stated(written.strip("\r\n"), index.lines(start, span.start + len(written)))
        )
    reader.extra.sort(key=lambda stated: stated.lines.first)
    return {**reader.fields, "extra": tuple(reader.extra), "problems": tuple(reader.problems)}


class _Fields:
    """Collects the fields of one note."""

    def __init__(self, index: LineIndex) -> None:
        self.fields: dict[str, Any] = {}
        self.extra: list[Stated] = []
        self.problems: list[Problem] = []
        self._index = index
        self._readers: dict[str, Callable[[Node], Any]] = {
            **dict.fromkeys(_TEXTS, as_text),
            **dict.fromkeys(_STATED, self._stated),
            "machine": self._machine,
            "outcome": self._outcome,
        }
        self._list_readers: dict[str, Callable[[Node], tuple[Any, ...]]] = {
            **dict.fromkeys(_STATED_LISTS, self._stated_list),
            **dict.fromkeys(_LISTS_BY_COMMA, self._split_list),
            "checks": self._checks,
            "causes": self._causes,
            "routes": self._routes,
        }

    def take(self, entry: Entry) -> None:
        """Use one top-level key."""
        name = key_name(entry.key.text)
        name = _OTHER_NAMES.get(name, name)
        if name == "format" and as_text(entry.value).strip() in ("", FORMAT):
            return
        if name in self._list_readers:
            read = self._list_readers[name](entry.value)
            if name == "see":
                read = tuple(stated.text for stated in read)
            self.fields[name] = (*self.fields.get(name, ()), *read)
        elif name in self._readers and name not in self.fields:
            if as_text(entry.value).strip():
                self.fields[name] = self._readers[name](entry.value)
                if name == "date":
                    self._check_date(entry.value)
        else:
            self._keep(entry)
            if name == "format":
                self._name_format(entry)

    def _keep(self, entry: Entry) -> None:
        text = f"{entry.key.text}: {as_text(entry.value)}".strip()
        self.extra.append(Stated(text, self._lines(entry.key.start, entry.value)))

    def _name_format(self, entry: Entry) -> None:
        what = f"written for format {as_text(entry.value)}, this benchlore knows format {FORMAT}"
        todo = "shown and searched as far as it is understood, not changed; use a newer benchlore"
        self.problems.append(Problem(*self._index.place(entry.key.start), what, todo))

    def _check_date(self, node: Node) -> None:
        written = as_text(node).strip()
        if written and read_date(written) is None:
            todo = "kept as typed; write it like 2025-05-14"
            place = self._index.place(node.start)
            self.problems.append(Problem(*place, f"'{written[:40]}' is not a date", todo))

    def _lines(self, start: int, node: Node) -> Lines:
        return self._index.lines(start, node.end)

    def _stated(self, node: Node) -> Stated:
        return Stated(as_text(node).strip(), self._lines(node.start, node))

    def _stated_list(self, node: Node) -> tuple[Stated, ...]:
        items = node.items if isinstance(node, Seq) else (node,)
        return tuple(stated for stated in map(self._stated, items) if stated.text)

    def _split_list(self, node: Node) -> tuple[Stated, ...]:
        """A list; one text is split at commas, which never stand inside a code or a file name."""
        if not isinstance(node, Scalar):
            return self._stated_list(node)
        lines = self._lines(node.start, node)
        parts = re.split(r"[,;\n]", node.text)
        return tuple(Stated(part.strip(), lines) for part in parts if part.strip())

    def _texts(self, node: Node) -> tuple[str, ...]:
        return tuple(stated.text for stated in self._stated_list(node))

    def _machine(self, node: Node) -> Machine:
        lines = self._lines(node.start, node)
        known, extra = _sorted_out(node, _MACHINE, "model")
        return Machine(**known, extra=extra, lines=lines)

    def _outcome(self, node: Node) -> Outcome:
        if isinstance(node, Seq) and len(node.items) == 1:
            node = node.items[0]
        known, extra = _sorted_out(node, _OUTCOME, "result")
        known.setdefault("result", "")
        for entry in node.entries if isinstance(node, Map) else ():
            if key_name(entry.key.text) == "date":
                self._check_date(entry.value)
        return Outcome(**known, lines=self._lines(node.start, node), extra=extra)

    def _checks(self, node: Node) -> tuple[Check, ...]:
        return tuple(map(self._check, _rows(node, "check", (*_CHECK, *_CHECK_LISTS))))

    def _check(self, node: Node) -> Check:
        lists: dict[str, tuple[str, ...]] = {}
        kept = node
        if isinstance(node, Map):
            for entry in node.entries:
                name = key_name(entry.key.text)
                if name in _CHECK_LISTS:
                    lists[name] = (*lists.get(name, ()), *self._texts(entry.value))
            kept = _without(node, _CHECK_LISTS)
        known, extra = _sorted_out(kept, _CHECK, "check")
        known.setdefault("check", "")
        return Check(
            **known,
            lines=self._lines(node.start, node),
            rules_out=lists.get("rules_out", ()),
            points_to=lists.get("points_to", ()),
            extra=extra,
        )

    def _causes(self, node: Node) -> tuple[Cause, ...]:
        out: list[Cause] = []
        for row in _rows(node, "part", _CAUSE):
            known, extra = _sorted_out(row, _CAUSE, "part")
            known.setdefault("part", "")
            out.append(Cause(**known, lines=self._lines(row.start, row), extra=extra))
        return tuple(out)

    def _routes(self, node: Node) -> tuple[Route, ...]:
        out: list[Route] = []
        for row in _rows(node, "route", _ROUTE):
            known, extra = _sorted_out(row, _ROUTE, "route")
            known.setdefault("route", "")
            out.append(Route(**known, lines=self._lines(row.start, row), extra=extra))
        return tuple(out)


def _without(node: Map, names: tuple[str, ...]) -> Map:
    kept = tuple(entry for entry in node.entries if key_name(entry.key.text) not in names)
    return Map(kept, node.start, node.end, node.flow)


def _sorted_out(
    node: Node, names: tuple[str, ...], main: str
) -> tuple[dict[str, Any], tuple[tuple[str, str], ...]]:
    """Known values by name, and all others in order; a bare text is the value of `main`."""
    if not isinstance(node, Map):
        return {main: as_text(node).strip()}, ()
    known: dict[str, Any] = {}
    extra: list[tuple[str, str]] = []
    for entry in node.entries:
        name = key_name(entry.key.text)
        text = as_text(entry.value).strip()
        if name in names and name not in known:
            known[name] = text
        else:
            extra.append((entry.key.text, text))
    return known, tuple(extra)


def _rows(node: Node, main: str, names: tuple[str, ...]) -> tuple[Node, ...]:
    """The rows of a table such as `checks`, also where it is not written as a list.

    One row may stand alone; names that are none of the table's own are taken as `main`, each with
    its row or its finding below: `compression: 8 bar`.
    """
    if isinstance(node, Seq):
        return tuple(item for item in node.items if as_text(item).strip())
    if isinstance(node, Scalar):
        return (node,) if node.text.strip() else ()
    if any(key_name(entry.key.text) in names for entry in node.entries):
        return (node,)
    return tuple(_row(entry, main, names[1]) for entry in node.entries)


def _row(entry: Entry, main: str, second: str) -> Map:
    start, end = entry.key.start, max(entry.key.end, entry.value.end)
    head = Entry(Scalar(main, start, start), entry.key)
    if isinstance(entry.value, Map):
        return Map((head, *entry.value.entries), start, end)
    return Map((head, Entry(Scalar(second, start, start), entry.value)), start, end)
