"""Evidence on the terminal."""

from __future__ import annotations

from benchlore.cli.output import hanging, say, width
from benchlore.evidence.model import Evidence, Source
from benchlore.evidence.telling import Row, basis_line, cause_line, next_check_line, sections
from benchlore.text import shown_line

SHOWN_SOURCES = 4
_INDENT = 3


def say_evidence(evidence: Evidence) -> None:
    """Print all that the cases add up to; cautions have been printed before."""
    say()
    say(f"What past cases say, {basis_line(evidence)}", "bold")
    for section in sections(evidence, width() - 2 * _INDENT):
        say()
        say(section.title, "bold")
        for row in section.rows:
            _say_row(row)


def say_evidence_in_short(evidence: Evidence) -> None:
    """Print the likeliest cause and the best next check, a line each."""
    if not evidence.causes:
        return
    say(hanging("Past cases:", basis_line(evidence), 0, 12))
    say(hanging("Likeliest:", shown_line(cause_line(evidence.causes[0], evidence)), 0, 12))
    if evidence.checks:
        say(hanging("Next check:", shown_line(next_check_line(evidence.checks[0])), 0, 12))
    else:
        say(hanging("Next check:", evidence.nothing_to_choose, 0, 12))


def _say_row(row: Row) -> None:
    """The text, wrapped, and below it where it stands."""
    mark = "-" if row.depth == 0 else " "
    say(hanging(mark, shown_line(row.text), _INDENT * row.depth, 2))
    if row.sources and row.depth == 0:
        say(hanging("", shown_line(sources_line(row.sources)), _INDENT, 0))


def sources_line(sources: tuple[Source, ...]) -> str:
    """`kb/2025/0147.md:12, kb/2023/0098.md:9 and 3 more`."""
    places = dict.fromkeys(f"{source.file}:{source.first_line}" for source in sources)
    shown = list(places)[:SHOWN_SOURCES]
    more = f" and {len(places) - len(shown)} more" if len(places) > len(shown) else ""
    return ", ".join(shown) + more
