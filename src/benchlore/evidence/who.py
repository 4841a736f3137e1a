"""Who it happens to: a cause against machine, engine, build year and distance, over all cases."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from benchlore.evidence.causes import CauseGroup
from benchlore.evidence.model import Source, Who
from benchlore.evidence.statistics import fisher_exact
from benchlore.index.store import Store, StoredMachine
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
class _Trait:
    """A trait that some machines have: `told` says so of a number of cases."""

    name: str
    told: str
    others: str
    has: Callable[[StoredMachine], bool]


def who_it_happens_to(
    store: Store, causes: Sequence[CauseGroup], vocabulary: Vocabulary
) -> tuple[Who, ...]:
    """Return where a cause clearly goes with a kind of machine in all of the shop's cases.

    Raises:
        IndexDamaged: the index cannot be read.
    """
    machines = store.diagnosed_machines()
    found: list[Who] = []
    for cause in causes[:MOST_CAUSES]:
        having = _cases_with(store, cause, vocabulary)
        if len(having) >= FEWEST:
            found += _of_cause(cause, having, machines)
    return tuple(found)


def _cases_with(store: Store, cause: CauseGroup, vocabulary: Vocabulary) -> Mapping[int, Source]:
    """All cases of the shop with this cause, by number."""
    nouns = {thing.noun for each in cause.stated for thing in each.reading.things}
    nouns |= {
        aside for each in cause.stated for thing in each.reading.things for aside in thing.asides
    }
    nouns |= {each.reading.inner.noun for each in cause.stated if each.reading.inner}
    numbers = store.notes_with_cause(nouns)
    readings = [each.reading for each in cause.stated]
    matched: dict[int, int] = {}
    for number, digest in store.digests(sorted(numbers)).items():
        for place, reading in enumerate(digest.causes):
            if all(same_cause(reading, other, vocabulary) for other in readings):
                matched.setdefault(number, place)
    notes = store.notes(matched)
    return {
        number: Source(
            notes[number].note.path,
            notes[number].note.causes[place].lines.first,
            notes[number].note.causes[place].lines.last,
            notes[number].note.case,
        )
        for number, place in matched.items()
    }


def _of_cause(
    cause: CauseGroup, having: Mapping[int, Source], machines: Sequence[StoredMachine]
) -> Iterator[Who]:
    mine = [machine for machine in machines if machine.note in having]
    kinds = [*_kinds(mine, "engine"), *_kinds(mine, "model")]
    for trait in kinds:
        yield from _tried(cause, trait, having, machines, len(kinds))
    for among, kin in _narrowed(mine, machines):
        cuts = [
            *_cuts(mine, kin, "year"),
            *_cuts(mine, kin, "distance"),
            *_cuts(mine, kin, "hours"),
        ]
        clear = [
            who
            for trait in cuts
            for who in _tried(
                cause, trait, having, [m for m in kin if trait.name], len(cuts), among
            )
        ]
        if clear:  # the clearest of many cuts that say the same
            yield min(clear, key=lambda who: who.chance)


def _kinds(mine: Sequence[StoredMachine], column: str) -> list[_Trait]:
    """The engines or models that the cause was seen on often enough."""
    counts = Counter(_kind(machine, column) for machine in mine)
    return [
        _Trait(column, f"on {_named(name)}", "on other machines", _is(name, column))
        for name, count in counts.items()
        if name and count >= FEWEST
    ]


def _kind(machine: StoredMachine, column: str) -> str:
    if column == "engine":
        return machine.engine and f"engine {machine.engine}"
    return " ".join(filter(None, (machine.make, machine.model))) if machine.model else ""


def _named(name: str) -> str:
    return name if name.startswith("engine ") else name.title()


def _is(name: str, column: str) -> Callable[[StoredMachine], bool]:
    return lambda machine: _kind(machine, column) == name


def _narrowed(
    mine: Sequence[StoredMachine], machines: Sequence[StoredMachine]
) -> Iterator[tuple[str, Sequence[StoredMachine]]]:
    """The engine, or else model, that most of the cases share: only there does a year tell."""
    for column in ("engine", "model"):
        counts = Counter(kind for machine in mine if (kind := _kind(machine, column)))
        if counts and max(counts.values()) >= FEWEST:
            name = max(counts, key=lambda each: counts[each])
            yield _named(name), [m for m in machines if _kind(m, column) == name]
            return


def _cuts(mine: Sequence[StoredMachine], kin: Sequence[StoredMachine], column: str) -> list[_Trait]:
    """The years, distances or hours up to which, or from which on, a cause was seen."""
    own = [v for m in mine if m in kin and (v := getattr(m, column)) is not None]
    if len(own) < FEWEST:
        return []
    low, high = min(own), max(own)
    if column == "year":
        return [
            _Trait(
                "year",
                f"built up to {high}",
                "later ones",
                lambda m: m.year is not None and m.year <= high,
            ),
            _Trait(
                "year",
                f"built from {low} on",
                "earlier ones",
                lambda m: m.year is not None and m.year >= low,
            ),
        ]
    step, unit = (_THOUSAND_KM, "km") if column == "distance" else (_HUNDRED_HOURS, "h")
    floor = low // step * step

    def far(machine: StoredMachine) -> bool:
        value: float | None = getattr(machine, column)
        return value is not None and value >= floor

    return [
        _Trait(column, f"from {floor:,.0f} {unit} on", f"with less than {floor:,.0f} {unit}", far)
    ]


def _tried(
    cause: CauseGroup,
    trait: _Trait,
    having: Mapping[int, Source],
    machines: Sequence[StoredMachine],
    tries: int,
    among: str = "",
) -> Iterator[Who]:
    """Say it where the test allows: the table over machines of which the trait is known."""
    known = [m for m in machines if _known(m, trait.name)]
    a = sum(trait.has(m) and m.note in having for m in known)
    b = sum(not trait.has(m) and m.note in having for m in known)
    c = sum(trait.has(m) and m.note not in having for m in known)
    d = len(known) - a - b - c
    if a < FEWEST or not (b + d):
        return
    chance, _ = fisher_exact(a, b, c, d)
    if chance > LEVEL / max(tries, 1):
        return
    all_of = f"all {a}" if not b else f"{a} of {a + b}"
    where = f"{among}, " if among else ""
    text = f"{cause.name}: {all_of} {where}{trait.told} ({a + c} such cases); "
    text += f"{b or 'none'} of {b + d} {trait.others}"
    sources = tuple(having[m.note] for m in known if m.note in having)
    yield Who(cause.name, trait.told, text, (a, b, c, d), chance, sources)


def _known(machine: StoredMachine, trait: str) -> bool:
    if trait in ("engine", "model"):
        return bool(_kind(machine, trait))
    return getattr(machine, trait) is not None
