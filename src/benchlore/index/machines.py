"""What of a machine is compared: its build year and how far or long it has run."""

from __future__ import annotations

import re
from dataclasses import dataclass

from benchlore.language.quantities import read_quantities
from benchlore.notes import Machine

_YEAR = re.compile(r"(?<!\d)(19[0-9]{2}|20[0-9]{2})(?!\d)")
_PER_HOUR = 3600.0


@dataclass(frozen=True, slots=True)
class MachineFacts:
    """None where the note does not say.

    Attributes:
        year: in which it was built.
        distance: its odometer, km.
        hours: its hour meter, h.
    """

    year: int | None
    distance: float | None
    hours: float | None


def machine_facts(machine: Machine) -> MachineFacts:
    """Read the facts of `machine`; texts that cannot be read give None."""
    year = _YEAR.search(machine.year)
    run = {q.dimension: q.low for q in read_quantities(machine.odometer) if q.closed}
    time = run.get("time")
    return MachineFacts(
        int(year[1]) if year else None,
        run.get("distance"),
        time / _PER_HOUR if time is not None else None,
    )
