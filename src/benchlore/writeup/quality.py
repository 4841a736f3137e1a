"""What would make a case more useful to whoever finds it later, the most useful first.

Formal problems are named elsewhere: a value that cannot be read, a key that is written twice. Here
is what is missing. The texts hold words of the note: pass them through `benchlore.text` to show.
"""

from __future__ import annotations

import datetime
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from benchlore.evidence.gathering import came_back, ended
from benchlore.language.causes import read_cause, same_part
from benchlore.language.limits import read_values
from benchlore.language.named import words_of
from benchlore.language.vocabulary import Vocabulary, current
from benchlore.notes import Cause, Check, Note, read_date, read_yes_no

HELD_AFTER_DAYS = 30
"""From then on it can be known whether a repair held: the default of `follow_up_days`."""

LONGEST_NAME = 36
"""Characters of a check's name that are quoted."""

_DIGIT = re.compile(r"\d")


@dataclass(frozen=True, slots=True)
class Said:
    """One thing that is missing.

    Attributes:
        what: in words.
        field: the front matter key to go to; `checks.limit`, `machine.engine` where one is inside.
        number: the how manieth check, cause or route, from 0; None where it is of none.
    """

    what: str
    field: str
    number: int | None = None


def quality(
    draft: Note, today: datetime.date, vocabulary: Vocabulary | None = None
) -> tuple[Said, ...]:
    """Say what the case lacks, the most useful first; nothing for a case that has it all."""
    vocabulary = vocabulary or current()
    rules: tuple[Callable[[], Iterator[Said]], ...] = (
        lambda: _symptom(draft),
        lambda: _limits(draft),
        lambda: _outcome(draft, today),
        lambda: _causes(draft, vocabulary),
        lambda: _conditions(draft),
        lambda: _checks(draft),
        lambda: _routes(draft),
        lambda: _whose(draft),
    )
    return tuple(said for rule in rules for said in rule())


def in_one_line(said: Sequence[Said], width: int) -> str:
    """`no limit for the play; outcome open`, as many as fit into `width` characters.

    What does not fit is counted: `no limit for the play; 3 more`. Less than one: cut with an
    ellipsis.
    """
    for shown in range(len(said), 0, -1):
        left = len(said) - shown
        parts = [each.what for each in said[:shown]] + ([f"{left} more"] if left else [])
        line = "; ".join(parts)
        if len(line) <= width:
            return line
    first = said[0].what if said else ""
    return first if len(first) <= width else first[: max(width - 1, 0)] + "\N{HORIZONTAL ELLIPSIS}"


def _symptom(draft: Note) -> Iterator[Said]:
    if draft.symptom is None or not draft.symptom.text.strip():
        yield Said("no symptom", "symptom")


def _limits(draft: Note) -> Iterator[Said]:
    """What was measured and cannot be judged."""
    for number, check in enumerate(draft.checks):
        if not _DIGIT.search(check.value):
            continue
        if not any(q.dimension for q in read_values(check.value, check.check)):
            yield Said(f"no unit for {_name(check)}", "checks.value", number)
        elif not check.limit.strip() and read_yes_no(check.ok) is None:
            yield Said(f"no limit for {_name(check)}", "checks.limit", number)


def _name(check: Check) -> str:
    name = " ".join(check.check.split())
    if not name:
        return "what was measured"
    if len(name) <= LONGEST_NAME:
        return name
    return name[: LONGEST_NAME - 1].rstrip() + "\N{HORIZONTAL ELLIPSIS}"


def _outcome(draft: Note, today: datetime.date) -> Iterator[Said]:
    result = ended(draft)
    if draft.outcome is None or not result:
        yield Said("no outcome", "outcome")
    elif result == "open":
        yield Said("outcome open", "outcome")
    elif result in ("fixed", "improved") and not _held(draft):
        since = read_date(draft.outcome.date) or read_date(draft.date)
        if since is not None and (today - since).days >= HELD_AFTER_DAYS:
            yield Said("not said whether it held", "outcome.after")


def _held(draft: Note) -> bool:
    outcome = draft.outcome
    return outcome is not None and bool(outcome.after.strip() or outcome.comeback.strip())


def _causes(draft: Note, vocabulary: Vocabulary) -> Iterator[Said]:
    if not draft.causes and ended(draft) in ("fixed", "improved") and not came_back(draft):
        yield Said(f"{ended(draft)}, but not what it was", "causes")
    for number, cause in enumerate(draft.causes):
        certainty = cause.certainty.casefold().strip()
        if certainty == "proved" and not _stands_behind(draft, cause, vocabulary):
            several = len(draft.causes) > 1 and cause.part
            name = f"the proved cause, {cause.part}" if several else "the proved cause"
            yield Said(f"no check stands behind {name}", "checks")
        elif not certainty:
            yield Said("not said how sure the cause is", "causes.certainty", number)
        if cause.part.strip() and not cause.fault.strip():
            yield Said(f"not said what was wrong with {cause.part}", "causes.fault", number)


def _stands_behind(draft: Note, cause: Cause, vocabulary: Vocabulary) -> bool:
    """Say whether a check points to the cause, names its part, or names it in what was found."""
    meant = read_cause(cause.part, cause.fault, vocabulary)
    nouns = {word for thing in meant.things for word in (thing.noun, *thing.asides)}
    for check in draft.checks:
        named = (read_cause(text, "", vocabulary) for text in check.points_to)
        if any(same_part(meant, other, vocabulary) for other in named):
            return True
        if nouns & {*words_of(check.check, vocabulary), *words_of(check.found, vocabulary)}:
            return True
    return False


def _conditions(draft: Note) -> Iterator[Said]:
    if not draft.present:
        yield Said("when it shows is not said", "present")
    if not draft.absent:
        yield Said("when it does not show is not said", "absent")


def _checks(draft: Note) -> Iterator[Said]:
    if not draft.checks:
        yield Said("nothing checked or measured", "checks")
    for number, check in enumerate(draft.checks):
        if not (check.value.strip() or check.found.strip() or check.ok.strip()):
            yield Said(f"not said what {_name(check)} gave", "checks.found", number)
    for number, check in enumerate(draft.checks):
        if check.limit.strip() and not check.limit_from.strip():
            yield Said(f"not said where the limit for {_name(check)} is from",
                       "checks.limit_from", number)  # fmt: skip


def _routes(draft: Note) -> Iterator[Said]:
    chosen = [route for route in draft.routes if read_yes_no(route.chosen)]
    if draft.routes and not chosen and ended(draft) in ("fixed", "improved", "not fixed"):
        yield Said("not said which repair route was taken", "routes.chosen")
    for number, route in enumerate(draft.routes):
        if route in chosen and not route.labour_hours.strip():
            yield Said(f"no hours for {route.route or 'the route taken'}", "routes.labour_hours",
                       number)  # fmt: skip


def _whose(draft: Note) -> Iterator[Said]:
    machine = draft.machine
    if not (machine.make or machine.model or machine.engine):
        yield Said("no machine", "machine")
    elif not machine.odometer:
        yield Said("no distance or hours", "machine.odometer")
    if not draft.system:
        yield Said("no system", "system")
    if not draft.date:
        yield Said("no date", "date")
