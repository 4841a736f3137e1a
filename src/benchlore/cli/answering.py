"""Answers a question on the command line. Imported while the encoder loads: see `find`."""

from __future__ import annotations

import os
import sys
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from benchlore.cli.as_json import answer_to_json
from benchlore.cli.evidence_text import say_evidence, say_evidence_in_short
from benchlore.cli.output import hanging, say, say_json, warn
from benchlore.errors import DONE, NOTHING_CLOSE, UsageError
from benchlore.evidence.cautions import UNREAD, standing_line, usual_cautions
from benchlore.evidence.model import Evidence
from benchlore.evidence.reasons import copy_lines, nothing_close, reading_line, reason_lines
from benchlore.evidence.summing import sum_up
from benchlore.evidence.wording import causes_line, finding_line, machine_line, outcome_line
from benchlore.index.changes import changed_since
from benchlore.index.opened import OpenIndex
from benchlore.search.engine import Engine
from benchlore.search.results import Answer, Hit, Question
from benchlore.text import shown_line

Shape = Literal["text", "json", "brief", "html"]


@dataclass(frozen=True, slots=True)
class Wanted:
    """How an answer is to be printed.

    Attributes:
        from_stdin: every line of standard input is a symptom.
        in_full: all of the evidence, not its two first lines.
        found, apart: as in `sum_up`.
    """

    shape: Shape = "text"
    from_stdin: bool = False
    in_full: bool = False
    found: tuple[str, ...] = ()
    apart: tuple[str, ...] = ()


def answer(index: OpenIndex, question: Question, wanted: Wanted) -> int:
    """Answer `question`, or with it as a pattern every line of standard input; the exit code."""
    engine, root = Engine(index), index.shop.root
    if wanted.from_stdin:
        code = _answer_lines(engine, question, wanted)
    else:
        found = engine.find(question)
        evidence = _evidence(index, found, wanted)
        if wanted.shape == "json":
            say_json(answer_to_json(found, evidence, root))
        elif wanted.shape == "text":
            _print(found, evidence, wanted.in_full, root)
        else:
            from benchlore.evidence.brief import brief_html, brief_markdown

            make = brief_html if wanted.shape == "html" else brief_markdown
            say(make(found, evidence).rstrip("\n"))
        code = _code(found)
    changes = changed_since(index.shop, index.store)
    if changes:
        warn(f"{changes}: benchlore build")
    if index.words_only:
        warn(index.words_only)
    return code


def _evidence(index: OpenIndex, found: Answer, wanted: Wanted) -> Evidence:
    whole = wanted.in_full or wanted.shape != "text"
    return sum_up(index.store, index.shop.settings, found, wanted.found, wanted.apart, whole)


def _code(answer: Answer) -> int:
    return NOTHING_CLOSE if answer.closest in ("far", "none") else DONE


def _answer_lines(engine: Engine, pattern: Question, wanted: Wanted) -> int:
    code = NOTHING_CLOSE
    for line in sys.stdin.buffer:
        text = line.decode("utf-8", "replace").strip()
        try:
            found = engine.find(replace(pattern, text=text))
        except UsageError as error:
            say_json({"query": text, "error": str(error), "cases": [], "articles": []})
            continue
        evidence = _evidence(engine.index, found, wanted)
        say_json(answer_to_json(found, evidence, engine.index.shop.root))
        sys.stdout.flush()  # a program at the other end of the pipe waits for it
        code = min(code, _code(found))
    return code


def _print(answer: Answer, evidence: Evidence, in_full: bool, root: Path) -> None:
    if answer.readings:
        say(shown_line(reading_line(answer.readings)))
    none = nothing_close(answer.closest)
    if not answer.cases and not answer.articles:
        say(none)
        return
    if none:
        say(f"{none}. The nearest are:", "bold")
    systems = dict.fromkeys(hit.note.system for hit in answer.cases)
    say("Before you start:", "bold")
    first = evidence.cautions.lines() if in_full else (*usual_cautions(systems), standing_line())
    for line in map(shown_line, first):
        say(hanging("-", line, label_width=2))
    if in_full:
        say_evidence(evidence)
    else:
        say()
        say_evidence_in_short(evidence)
    for rank, hit in enumerate(answer.cases, start=1):
        say()
        _print_case(rank, hit, root)
    if answer.articles:
        say()
        say("Articles", "bold")
        for hit in answer.articles:
            title = f"{shown_line(hit.note.title)} ({hit.closeness})  {_source(root, hit)}"
            say(hanging("", title, label_width=0), _style(hit))
            _say_copies(hit)


def _say_copies(hit: Hit) -> None:
    for line in copy_lines(hit):
        say(f"   Copy:    {shown_line(line)}")  # never wrapped, as the source


def _print_case(rank: int, hit: Hit, root: Path) -> None:
    note = hit.note
    symptom = note.symptom.text if note.symptom else note.title
    title = f"{shown_line(symptom) or '(no symptom)'} - {hit.closeness}"
    say(hanging(f"{rank}.", title, indent=0, label_width=3), _style(hit, "bold"))
    about = ", ".join(filter(None, (machine_line(note.machine), note.date, f"case {note.case}")))
    say(hanging("", shown_line(about), label_width=0))
    say(f"   Source:  {shown_line(_source(root, hit))}")  # never wrapped: it is copied from here
    _say_copies(hit)
    if hit.unread:
        say(hanging("", f"not read again: {hit.unread}"))
    for place, reason in enumerate(reason_lines(hit)):
        say(hanging("" if place else "Why:", shown_line(reason)))
    if note.cautions_unread:
        say(hanging("Caution:", UNREAD))
    for caution in note.cautions:
        say(hanging("Caution:", shown_line(caution.text)))
    for place, check in enumerate(note.checks):
        say(hanging("" if place else "Found:", shown_line(finding_line(check))))
    say(hanging("Cause:", shown_line(causes_line(note))))
    say(hanging("Outcome:", shown_line(outcome_line(note.outcome))))


def _style(hit: Hit, style: str = "") -> str:
    """Far ones are dimmed; the word `far` says the same."""
    return "dim" if hit.closeness == "far" else style


def _source(root: Path, hit: Hit) -> str:
    """`kb/2023/note.md:6-10`, or that the file is gone."""
    path = hit.note.path
    if not os.path.lexists(os.path.join(root, path)):
        return f"{path} (gone since the index was built)"
    if not hit.passages:
        return path
    best = hit.passages[0]
    return f"{path}:{best.first_line}-{best.last_line}"
