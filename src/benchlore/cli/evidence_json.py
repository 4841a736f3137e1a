"""The shape of `"evidence"` in `find --json`. Keys are only ever added."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from typing import Any

from benchlore.evidence.model import Evidence, Source


def evidence_to_json(evidence: Evidence) -> dict[str, Any]:
    """What the past cases say, as plain values; every figure beside its `sources`."""
    table: dict[str, Any] = _plain(evidence)
    return table


def _plain(value: Any) -> Any:  # noqa: ANN401  # any field of the evidence
    if isinstance(value, Source):
        table = {"file": value.file, "first_line": value.first_line, "last_line": value.last_line}
        return {**table, "case": value.case}
    if is_dataclass(value):
        table = {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
        if "source" in table:  # a lone source stands in a list, as several do
            table["sources"] = [table.pop("source")]
        return table
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    return round(value, 6) if isinstance(value, float) else value
