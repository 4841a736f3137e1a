"""A found case or article as text for the list and for the findings beside it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from textual.content import Content

from benchlore.evidence.cautions import Cautions, cautions_of
from benchlore.evidence.reasons import copy_lines, reason_lines
from benchlore.evidence.wording import (
    cause_line,
    causes_line,
    finding_line,
    machine_line,
    outcome_line,
    route_line,
)
from benchlore.notes import Note, read_yes_no
from benchlore.search.results import Hit
from benchlore.tui.display import hanging, joined, line, row, rows

MARK = "> "
"""Stands before the selected case: colour alone would say nothing on many a screen."""

CLOSENESS_WIDTH = len("related") + 1
"""The words stand one below the other, what follows them too."""

USUAL_ROWS = 2
"""Rows for the usual cautions where there is little room: the reasons must be in sight below."""


@dataclass(frozen=True, slots=True)
class Said:
    """A lead that stands out, and the text behind it."""

    lead: str
    text: str
    style: str = ""
    one_row: bool = False
    """Cut to one row; another key shows it whole."""


def list_text(hit: Hit, selected: bool) -> Content:
    """The three rows of one result: symptom; closeness, date and machine; outcome and cause."""
    note = hit.note
    far = hit.closeness == "far"
    style = "dim" if far else ""
    if note.kind == "article":
        covers = ", ".join(said.text for said in note.covers)
        about = f"tells apart: {covers}" if covers else note.path
        last = f"article, cautions of its own: {len(note.cautions)}"
    else:
        about = _with(", ", note.date, machine_line(note.machine)) or note.path
        last = ending(note)
    mark = row(MARK if selected else "  ", "bold")
    below = row("  ")
    closeness = row(f"{hit.closeness:<{CLOSENESS_WIDTH}}", style or "bold")
    return rows(
        (
            joined((mark, line(symptom_of(note), style or "bold"))),
            joined((below, closeness, line(about, style))),
            joined((below, line(last, style))),
        )
    )


def symptom_of(note: Note) -> str:
    """What the note is about, in its own words."""
    if note.kind == "article" and note.title:
        return note.title
    return note.symptom.text if note.symptom else note.title or note.case


def ending(note: Note) -> str:
    """Outcome and cause in one line: `fixed, came back - wheel bearing: pitted (proved)`."""
    if note.outcome is None and not note.causes:
        return "how it ended is not recorded"
    result = note.outcome.result if note.outcome else "outcome not recorded"
    came_back = note.outcome is not None and read_yes_no(note.outcome.comeback)
    return f"{result}{', came back' * bool(came_back)} - {causes_line(note)}"


def findings_text(hit: Hit, currency: str, all_cautions: bool, width: int) -> Content:
    """All that is known of a result without opening its source note; cautions stand first.

    `all_cautions` is False where there is little room: the usual ones are then cut.
    `width` is what one row takes, in cells.
    """
    note = hit.note
    usual_rows = None if all_cautions else USUAL_ROWS
    said = [Said(symptom_of(note), "")]
    said.extend(caution_lines(cautions_of(note), all_cautions, usual_rows))
    if hit.unread:
        said.append(Said("", f"As of an earlier reading: {hit.unread}", "bold"))
    said.extend(_listed("Copies", copy_lines(hit)))
    said.extend(_reasons(hit))
    said.extend(_conditions(note))
    if note.kind == "article":
        said.extend(_listed("Tells apart", [each.text for each in note.covers]))
    else:
        checks = [finding_line(check) for check in note.checks]
        said.extend(_listed("Findings", checks or ["none recorded as such: read the source note"]))
        causes = [cause_line(cause) for cause in note.causes]
        said.extend(_listed("Cause", causes or ["not recorded"]))
        said.extend(_listed("Outcome", [outcome_line(note.outcome)]))
        said.extend(_listed("Repair routes", [route_line(each, currency) for each in note.routes]))
    said.extend(_nearest(hit))
    return lines_text(said, width)


def lines_text(said: Iterable[Said], width: int) -> Content:
    """What is said, line below line, each wrapped to `width` cells."""
    out = []
    for each in said:
        mark = each.lead.strip(" !-") == ""
        lead = row(each.lead, each.style if mark else "bold")
        text = line(each.text, each.style)
        if each.one_row:
            out.append(joined((lead, text)).truncate(max(width, 1), ellipsis=True))
            continue
        out.append(hanging(lead, text, width) if mark else _flowing(lead, text, width))
    return rows(out)


def _flowing(lead: Content, text: Content, width: int) -> Content:
    """`text` behind `lead`, its further rows set in by two."""
    first, *more = joined((lead, text)).wrap(max(width - 2, 1))
    return rows((first, *(joined((row("  "), part)) for part in more)))


def caution_lines(
    cautions: Cautions, all_of_them: bool, usual_rows: int | None = None
) -> Iterator[Said]:
    """The cautions, each with a mark; unread ones in the strongest words.

    Without `all_of_them` the usual ones take a row each, and no more than `usual_rows` together;
    the last of these then says how many are not shown.
    """
    if cautions.unread:
        yield Said("!! ", f"STOP: {cautions.unread}", "bold reverse")
    for text in cautions.own:
        yield Said("!! ", text, "bold $warning")
    usual = list(cautions.usual)
    if usual_rows is not None and len(usual) > usual_rows:
        more = len(usual) - usual_rows + 1
        usual[usual_rows - 1 :] = [f"{more} more usual cautions: F3 shows all"]
    for text in filter(None, (*usual, cautions.standing)):
        yield Said(" ! ", text, "$warning", one_row=not all_of_them)


def caution_block(cautions: Cautions, width: int, most: int) -> Content:
    """The cautions in at most `most` rows; the last row says so where there are more."""
    split = lines_text(caution_lines(cautions, False), width).split("\n")
    if len(split) > most:
        split = [
            *split[: most - 1],
            line("!! there are more cautions: F3 shows all", "bold $warning"),
        ]
    return rows(split)


def job_row(hit: Hit, width: int) -> Content:
    """The row that parts the list from the findings: `── Case 2024-0101, ... ────`."""
    note = hit.note
    if note.kind == "article":
        said = "Article"
    else:
        said = _with(", ", f"Case {note.case}", note.date, machine_line(note.machine))
    lead, rest = row("── "), line(said, "bold")
    rest = rest.truncate(max(width - lead.cell_length - 2, 1), ellipsis=True)
    left = max(width - lead.cell_length - rest.cell_length - 1, 0)
    return joined((lead, rest, row(f" {'─' * left}")))


def _conditions(note: Note) -> Iterator[Said]:
    for name, stated in (("Shows", note.present), ("Does not show", note.absent)):
        if stated:
            yield Said(f"{name}: ", "; ".join(said.text for said in stated))


def _listed(name: str, texts: list[str]) -> Iterator[Said]:
    """`Name: text` for one text, else the name above a list; nothing without texts."""
    if len(texts) == 1:
        yield Said(f"{name}: ", texts[0])
    elif texts:
        yield Said(f"{name}:", "")
        yield from (Said(" - ", text) for text in texts)


def _reasons(hit: Hit) -> Iterator[Said]:
    """Why it was found, the word before the colon standing out."""
    for text in reason_lines(hit):
        lead, colon, rest = text.partition(": ")
        yield Said(lead + colon, rest) if colon else Said("", text)


def _nearest(hit: Hit) -> Iterator[Said]:
    """The passage nearest to the question."""
    if hit.passages:
        best = hit.passages[0]
        yield Said(f"Nearest passage, line {best.first_line}: ", best.text)


def _with(separator: str, *parts: str) -> str:
    return separator.join(part for part in parts if part)
