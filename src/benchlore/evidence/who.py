"""Who it happens to: a cause against machine, engine, build year and distance, over all cases."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from benchlore.evidence.causes import CauseGroup
from benchlore.evidence.model import Source, Sources, Who
from benchlore.evidence.statistics import fisher_exact
from benchlore.index.digests import nouns_of
from benchlore.index.store import Store
from benchlore.index.stored import StoredMachine
from benchlore.language.causes import same_cause
from benchlore.language.vocabulary import Vocabulary

MOST_CAUSES = 3
"""Causes that are looked at: the likeliest."""

FEWEST = 3
"""Cases of a cause with a trait below which nothing is said: own choice, no source."""

LEVEL = 0.05
"""Of the test, divided by the number of traits it was tried on (Bonferroni)."""

_THOUSAND_KM, _HUNDRED_HOURS = 1000.0, 100.0


@dataclass(frozen=True, slots=True)
class _Fleet:
    """All machines with a known cause: by engine and model, and how many name each of the two."""

    by_kind: Mapping[str, Mapping[str, Sequence[StoredMachine]]]
    naming: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class _Cut:
    """A year, distance or number of hours that parts machines: `has` is on the named side."""

    column: str
    told: str
    others: str
    has: Callable[[float], bool]


def who_it_happens_to(
    store: Store, causes: Sequence[CauseGroup], vocabulary: Vocabulary
) -> tuple[Who, ...]:
    """Return where a cause clearly goes with a kind of machine in all of the shop's cases.

    Raises:
        IndexDamaged: the index cannot be read.
    """
    found: list[Who] = []
    for cause in causes[:MOST_CAUSES]:
        having = _cases_with(store, cause, vocabulary)
        if len(having) >= FEWEST:
            found += _of_cause(cause, having, _fleet(store))
    return tuple(found)


@lru_cache(maxsize=2)
def _fleet(store: Store) -> _Fleet:
    """A sealed store never changes."""
    by_kind: dict[str, dict[str, list[StoredMachine]]] = {"engine": {}, "model": {}}
    for machine in store.diagnosed_machines():
        for column, kinds in by_kind.items():
            if kind := _kind(machine, column):
                kinds.setdefault(kind, []).append(machine)
    naming = {column: sum(map(len, kinds.values())) for column, kinds in by_kind.items()}
    return _Fleet(by_kind, naming)


def _cases_with(store: Store, cause: CauseGroup, vocabulary: Vocabulary) -> Mapping[int, Source]:
    """All cases of the shop with this cause, by number."""
    nouns = {noun for each in cause.stated for noun in nouns_of(each.reading)}
    readings = dict.fromkeys(each.reading for each in cause.stated)
    same: dict[int, bool] = {}  # by identity: causes written alike are one object
    found: dict[int, Source] = {}
    for stored in store.causes_named(sorted(nouns)):
        key = id(stored.reading)
        if key not in same:
            same[key] = all(same_cause(stored.reading, other, vocabulary) for other in readings)
        if same[key]:
            source = Source(stored.path, stored.first_line, stored.last_line, stored.case)
            found.setdefault(stored.note, source)
    return found


def _of_cause(cause: CauseGroup, having: Mapping[int, Source], fleet: _Fleet) -> Iterator[Who]:
    mine = {
        column: {
            kind: with_it
            for kind, machines in kinds.items()
            if (with_it := [machine for machine in machines if machine.note in having])
        }
        for column, kinds in fleet.by_kind.items()
    }
    often = [(c, k) for c, kinds in mine.items() for k, own in kinds.items() if len(own) >= FEWEST]
    for column, kind in often:
        a = len(mine[column][kind])
        b = sum(map(len, mine[column].values())) - a
        c = len(fleet.by_kind[column][kind]) - a
        table = (a, b, c, fleet.naming[column] - a - b - c)
        told = f"on {_named(kind)}"
        sources = _sources(mine[column][kind], having)
        yield from _said(cause, told, "on other machines", table, len(often), sources)
    if often:  # a year tells only among machines of one kind: of the engine, else of the model
        column, kind = max(
            often, key=lambda each: (each[0] == "engine", len(mine[each[0]][each[1]]))
        )
        yield from _parted(cause, kind, mine[column][kind], fleet.by_kind[column][kind], having)


def _parted(
    cause: CauseGroup,
    kind: str,
    mine: Sequence[StoredMachine],
    kin: Sequence[StoredMachine],
    having: Mapping[int, Source],
) -> Iterator[Who]:
    """The clearest of the years, distances and hours that part the machines of one kind."""
    cuts = [cut for column in ("year", "distance", "hours") for cut in _cuts(mine, column)]
    clear: list[Who] = []
    for cut in cuts:
        sides = {True: [0, 0], False: [0, 0]}
        for machine in kin:
            value = getattr(machine, cut.column)
            if value is not None:
                sides[cut.has(value)][machine.note in having] += 1
        table = (sides[True][1], sides[False][1], sides[True][0], sides[False][0])
        told = f"{_named(kind)}, {cut.told}"
        sources = _sources(mine, having)
        clear += _said(cause, told, cut.others, table, len(cuts), sources)
    if clear:
        yield min(clear, key=lambda who: who.chance)


def _cuts(mine: Sequence[StoredMachine], column: str) -> list[_Cut]:
    """The years up to or from which, and the distance or hours from which on, a cause was seen."""
    own = [value for machine in mine if (value := getattr(machine, column)) is not None]
    if len(own) < FEWEST:
        return []
    low, high = min(own), max(own)
    if column == "year":
        return [
            _Cut(column, f"built up to {high}", "later ones", lambda value: value <= high),
            _Cut(column, f"built from {low} on", "earlier ones", lambda value: value >= low),
        ]
    step, unit = (_THOUSAND_KM, "km") if column == "distance" else (_HUNDRED_HOURS, "h")
    floor = low // step * step
    told, others = f"from {floor:,.0f} {unit} on", f"with less than {floor:,.0f} {unit}"
    return [_Cut(column, told, others, lambda value: value >= floor)]


def _said(
    cause: CauseGroup,
    told: str,
    others: str,
    table: tuple[int, int, int, int],
    tries: int,
    sources: Sources,
) -> Iterator[Who]:
    """Say it where the test allows."""
    a, b, c, d = table
    if a < FEWEST or not b + d:
        return
    chance, _ = fisher_exact(a, b, c, d)
    if chance > LEVEL / tries:
        return
    all_of = f"all {a}" if not b else f"{a} of {a + b}"
    text = f"{cause.name}: {all_of} {told} ({a + c} such cases); {b or 'none'} of {b + d} {others}"
    yield Who(cause.name, told, text, table, chance, sources)


def _sources(machines: Sequence[StoredMachine], having: Mapping[int, Source]) -> Sources:
    return tuple(having[machine.note] for machine in machines)


def _kind(machine: StoredMachine, column: str) -> str:
    if column == "engine":
        return machine.engine and f"engine {machine.engine}"
    return " ".join(filter(None, (machine.make, machine.model))) if machine.model else ""


def _named(name: str) -> str:
    return name if name.startswith("engine ") else name.title()
