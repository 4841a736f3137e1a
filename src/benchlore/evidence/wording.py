"""A note's findings, causes and outcome in one line each, for every screen and printout alike.

The texts still hold whatever the note holds: pass them through `benchlore.text` to show them.
"""

from __future__ import annotations

from benchlore.notes import Cause, Check, Machine, Note, Outcome, Route
from benchlore.notes.scalars import read_yes_no


def machine_line(machine: Machine) -> str:
    """`Halden Carrier 35 2019, HD22, 142300 km`; empty when nothing is known."""
    name = _joined(" ", machine.make, machine.model, machine.year)
    return _joined(", ", name, machine.engine, machine.odometer)


def finding_line(check: Check) -> str:
    """`wheel bearing play: 0.14 mm (limit <= 0.05 mm, workshop manual)`."""
    limit = f"limit {check.limit}" if check.limit else ""
    source = _joined(", ", limit, check.limit_from)
    found = _joined(", ", check.value, check.found)
    line = _joined(": ", check.check, found)
    if source:
        line += f" ({source})"
    verdict = read_yes_no(check.ok)
    if verdict is not None:
        line += " - in order" if verdict else " - not in order"
    return line


def cause_line(cause: Cause) -> str:
    """`wheel bearing right rear: raceway pitted (proved)`."""
    line = _joined(": ", cause.part, cause.fault)
    return f"{line} ({cause.certainty})" if cause.certainty else line


def route_line(route: Route, currency: str) -> str:
    """`complete hub: parts 240 GBP, 1.1 h - chosen`."""
    costs = _joined(
        ", ",
        f"parts {_money(route.parts_cost, currency)}" if route.parts_cost else "",
        f"outside {_money(route.outside_cost, currency)}" if route.outside_cost else "",
        f"{route.labour_hours} h" if route.labour_hours else "",
    )
    line = _joined(": ", route.route, costs)
    return f"{line} - chosen" if read_yes_no(route.chosen) else line


def outcome_line(outcome: Outcome | None) -> str:
    """`fixed, checked after 4100 km, no comeback`; `not recorded` without one."""
    if outcome is None:
        return "not recorded"
    comeback = read_yes_no(outcome.comeback)
    said = outcome.comeback and f"comeback: {outcome.comeback}"
    return _joined(
        ", ",
        outcome.result,
        outcome.date,
        f"after {outcome.after}" if outcome.after else "",
        {True: "came back", False: "no comeback", None: said}[comeback],
    )


def causes_line(note: Note) -> str:
    """All causes of a note in one line; `cause not recorded` without any."""
    return _joined("; ", *(cause_line(cause) for cause in note.causes)) or "cause not recorded"


def _money(amount: str, currency: str) -> str:
    return f"{amount} {currency}" if currency else amount


def _joined(separator: str, *parts: str) -> str:
    return separator.join(part for part in parts if part)
