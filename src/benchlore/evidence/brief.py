"""A job brief: one page for the job card, in Markdown or HTML."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Sequence

from benchlore.evidence.model import Evidence, Source
from benchlore.evidence.reasons import nothing_close, reading_line
from benchlore.evidence.telling import Row, basis_line, sections
from benchlore.language.personal import without_personal_data
from benchlore.search.results import Answer

MOST_ROWS = 10
"""Rows of a section: the brief is to stay about a page."""

NO_STRIPS = 0
"""Strips need letters of one width."""

_TITLE = "Job brief"
_SPECIAL = "\\`*_[]<>|&~"
_AT_START = re.compile(r"(\d+)([.)])|([-+#=])")
"""What would begin a list, a heading or a rule."""
_STYLE = """
body { font: 11pt/1.35 sans-serif; max-width: 46em; margin: 1.5em auto; padding: 0 1em; }
h1 { font-size: 16pt; margin: 0 0 .3em; } h2 { font-size: 12pt; margin: .9em 0 .2em; }
ul { margin: .2em 0; padding-left: 1.3em; } code { font-size: 9pt; }
@media print { body { margin: 0; max-width: none; } }
"""


def brief_markdown(answer: Answer, evidence: Evidence) -> str:
    """Return the brief as CommonMark; no personal data, cautions before anything found.

    Whatever notes hold stands in it as text: it cannot make a link, a heading or markup of itself.
    """
    return "\n".join(_lines(answer, evidence)) + "\n"


def brief_html(answer: Answer, evidence: Evidence) -> str:
    """Return the brief as one HTML page without scripts or anything to be fetched."""
    from markdown_it import MarkdownIt

    body = MarkdownIt("commonmark", {"html": False}).render(brief_markdown(answer, evidence))
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        f"<title>{html.escape(_TITLE)}</title>\n<style>{_STYLE}</style>\n</head>\n"
        f"<body>\n{body}</body>\n</html>\n"
    )


def _lines(answer: Answer, evidence: Evidence) -> Iterator[str]:
    yield f"# {_TITLE}"
    yield ""
    yield f"Symptom: {_safe(answer.question.text)}  "
    yield f"{_safe(reading_line(answer.readings).capitalize())}  "
    none = nothing_close(answer.closest)
    yield f"{_safe(f'{none}; ' if none else '')}{_safe(basis_line(evidence))}"
    yield from _listed("Before you start", [Row(text) for text in evidence.cautions.lines()])
    for section in sections(evidence, NO_STRIPS):
        yield from _listed(section.title, section.rows[:MOST_ROWS])
    yield from _listed("Source notes", [Row(text) for text in _sources(evidence)])


def _listed(title: str, rows: Sequence[Row]) -> Iterator[str]:
    yield ""
    yield f"## {title}"
    yield ""
    for row in rows:
        cases = _cases(row.sources) if row.depth == 0 else ""
        yield f"{'  ' * row.depth}- {_safe(row.text)}{cases}"


def _cases(sources: Sequence[Source]) -> str:
    """The job-card numbers behind a row."""
    named = dict.fromkeys(source.case for source in sources if source.case)
    return f" (case {', '.join(map(_safe, named))})" if named else ""


def _sources(evidence: Evidence) -> list[str]:
    return [f"case {source.case}: {source.file}" for source in evidence.sources]


def _safe(text: str) -> str:
    """`text` on one line, personal data taken out, marks of Markdown escaped."""
    plain = " ".join(without_personal_data(text).split())
    escaped = "".join(f"\\{char}" if char in _SPECIAL else char for char in plain)
    start = _AT_START.match(escaped)
    if start is None:
        return escaped
    return f"{start[1] or ''}\\{start[2] or start[3]}{escaped[start.end() :]}"
