"""Which cue governs which condition: clauses to governed conditions (rule 1)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from benchlore.language.items import Clause, Item
from benchlore.language.missing import missing_function
from benchlore.language.states import (
    STATE_TAGS,
    Run,
    State,
    bare_denial,
    fails,
    lacks,
    state_of,
)

OPERATORS = ("only", "not-only", "except", "unless", "until", "rather")


@dataclass(slots=True)
class Governed:
    """A condition with what governs it.

    Attributes:
        state: what is said of the symptom there; None until it is known.
        operator: "only", "not-only", "except", "unless", "until", "rather" or "".
        weak: it was tried and not seen (P35).
        run: the cue words, for rules that look at them.
    """

    item: Item
    state: State | None = None
    operator: str = ""
    weak: bool = False
    run: Run | None = None


@dataclass(slots=True)
class Segment:
    """What stands between two operators of a clause."""

    operator: str
    parts: list[Run | Item] = field(default_factory=list)

    @property
    def runs(self) -> list[Run]:
        """The runs of cue words, in order."""
        return [part for part in self.parts if isinstance(part, Run)]

    @property
    def conditions(self) -> list[Item]:
        """The conditions, in order."""
        return [part for part in self.parts if isinstance(part, Item)]


@dataclass(slots=True)
class Reading:
    """A clause with its segments, and what it says as a whole."""

    clause: Clause
    segments: list[Segment]
    content: bool
    governed: list[Governed] = field(default_factory=list)
    last: State | None = None
    denies: bool = False

    @property
    def runs(self) -> list[Run]:
        """Every run of cue words in the clause."""
        return [run for segment in self.segments for run in segment.runs]

    @property
    def bare(self) -> bool:
        """Whether it holds conditions and says nothing of its own about them."""
        return not self.runs and not self.content and bool(self.clause.conditions)


def segments_of(clause: Clause) -> tuple[list[Segment], bool]:
    """Cut a clause at its operators; say too whether unknown words stand in it."""
    segments = [Segment("")]
    content = False
    run: Run | None = None
    for item in clause.items:
        operator = next((tag for tag in OPERATORS if tag in item.tags), "")
        if item.kind == "cond":
            if "bad" in item.tags:  # "pulls left": the place and the symptom in one
                run = run or _new_run(segments[-1])
                run.items.append(item)
            run = None
            segments[-1].parts.append(item)
        elif operator and not (operator == "until" and "tried" in item.tags):
            run = None
            segments.append(Segment(operator))
        elif item.tags & STATE_TAGS:
            run = run or _new_run(segments[-1])
            run.items.append(item)
        elif item.kind == "word":
            content = True
            if run is not None:
                run.words += 1
    for segment in segments:
        _denied_noun(segment)
        _drop_functions(segment)
    return segments, content


def _new_run(segment: Segment) -> Run:
    run = Run()
    segment.parts.append(run)
    return run


def _drop_functions(segment: Segment) -> None:
    """Leave out "keep", "run" and the like where another cue says what happens."""
    runs = segment.runs
    neutral = [run for run in runs if all(item.tags <= {"func", "glue"} for item in run.items)]
    if len(neutral) < len(runs):
        segment.parts = [part for part in segment.parts if part not in neutral]


def _denied_noun(segment: Segment) -> None:
    """Join "no" and "noise" in "no top end noise hot": one statement, not two."""
    parts = segment.parts
    for place in range(len(parts) - 2):
        first, middle, then = parts[place : place + 3]
        if isinstance(first, Run) and isinstance(middle, Item) and isinstance(then, Run):
            denial = len(first.items) == 1 and "no" in first.items[0].tags
            if denial and then.items and "bad" in then.items[0].tags and len(parts) > place + 3:
                then.items.insert(0, first.items[0])
                segment.parts = [*parts[:place], *parts[place + 1 :]]
                return


def within(clauses: Sequence[Clause]) -> list[Reading]:
    """Return every clause with its conditions governed by the cues of that clause."""
    readings = []
    lacking = failing = False
    for clause in clauses:
        segments, content = segments_of(clause)
        reading = Reading(clause, segments, content)
        _inside(reading, lacking, failing)
        failing = failing or any(fails(run) for run in reading.runs)
        lacking = lacking or any(lacks(run) for run in reading.runs) or _lack_of_gear(reading)
        readings.append(reading)
    return readings


def _lack_of_gear(reading: Reading) -> bool:
    """P30: "no reverse": the gear itself is what is missing."""
    for segment in reading.segments:
        for one, two in zip(segment.parts, segment.parts[1:], strict=False):
            if isinstance(one, Run) and isinstance(two, Item) and missing_function(one, two):
                return True
    return False


def _inside(reading: Reading, lacking: bool, failing: bool) -> None:
    """Let each condition of a clause be governed by the cues of that clause."""
    head: State | None = None
    for number, segment in enumerate(reading.segments):
        operators = [later.operator for later in reading.segments[number + 1 :]]
        until = operators[:1] == ["until"]
        states = {
            id(run): state_of(run, lacking=lacking, failing=failing, until=until)
            for run in segment.runs
        }
        for one, two in zip(segment.parts, segment.parts[1:], strict=False):
            if isinstance(one, Run) and isinstance(two, Item) and missing_function(one, two):
                states[id(one)] = State.PRESENT
        found = _pair(segment, states)
        if until:
            _framing(found, segment, states)
        for governed in found:
            governed.operator = segment.operator
            if segment.operator in ("except", "unless", "until", "rather"):
                governed.state = head
        if segment.operator in ("only", "not-only") and not found:
            _back_to_the_last(reading, segment.operator, states, segment)
        elif segment.operator == "only" and head is State.ABSENT and reading.governed:
            pass  # "not on smooth roads, only on cobbles"
        elif segment.operator in ("only", "not-only") and head is not None and not segment.runs:
            for governed in found:
                governed.state = head
        reading.governed += found
        if segment.runs and segment.operator not in ("except", "unless", "until", "rather"):
            head = states[id(segment.runs[-1])]
        elif head is None and segment.runs and segment.operator in ("except", "unless", "until"):
            head = _leading(found, segment, states)
        elif head is None and segment.conditions and segment.operator == "":
            head = State.PRESENT if len(reading.segments) > 1 else None
    reading.last = head
    reading.denies = any(run.has("not", "no", "no-longer") for run in reading.runs)


def _framing(found: list[Governed], segment: Segment, states: dict[int, State]) -> None:
    """P12: in "in third nothing till 2200" third is where all of it happens."""
    if not segment.parts or not isinstance(segment.parts[-1], Run):
        return
    if states[id(segment.parts[-1])] is State.ABSENT:
        for governed in found:
            governed.state = State.PRESENT


def _leading(found: list[Governed], segment: Segment, states: dict[int, State]) -> State | None:
    """Read "unless it's cold it's fine": the statement stands behind the condition."""
    state = states[id(segment.runs[-1])]
    whole = segment.operator == "except" and state is State.ABSENT
    if not found or not (isinstance(segment.parts[0], Item) or (whole and len(segment.runs) > 1)):
        return None
    for governed in found:
        governed.state = state
    return state


def _back_to_the_last(
    reading: Reading, operator: str, states: dict[int, State], segment: Segment
) -> None:
    """P06: "under load only" governs what stands before it."""
    last = reading.governed[-1:]
    run = reading.governed[-1].run if reading.governed else None
    for governed in reversed(reading.governed[:-1]):
        if governed.run is not run or governed.operator or not _beside(governed, last[-1]):
            break
        last.append(governed)
    for governed in last:
        governed.operator = operator
        if segment.runs and governed.run is None:
            governed.state = states[id(segment.runs[-1])]


def _beside(governed: Governed, later: Governed) -> bool:
    """Say whether two conditions are one list, "first and second only", and not a place before."""
    axes = {value.axis for value in governed.item.values} & {v.axis for v in later.item.values}
    return bool(axes) and later.item.first - governed.item.last <= 1


def _pair(segment: Segment, states: dict[int, State]) -> list[Governed]:
    """Pair conditions with runs: a run governs what follows it, or what precedes it."""
    parts = segment.parts
    runs = segment.runs
    backward = bool(parts) and isinstance(parts[0], Item) and isinstance(parts[-1], Run)
    found = []
    for place, part in enumerate(parts):
        if isinstance(part, Run):
            continue
        before = next((p for p in reversed(parts[:place]) if isinstance(p, Run)), None)
        after = next((p for p in parts[place:] if isinstance(p, Run)), None)
        run = (after if backward else before) or (runs[0] if runs else None)
        if before is None and not backward and after is not None and _set_against(parts, after):
            run = None
        last = after is not None and after is parts[-1] and before is not None
        if after is not None and last and states[id(after)] in (State.SAME, State.NO_EFFECT):
            run = after
        if before is None and not backward and runs and states[id(runs[0])] is State.GONE:
            found.append(Governed(part, State.PRESENT))  # "dim at idle brightens when revved"
            continue
        found.append(_governed(part, run, states))
    return found


def _set_against(parts: Sequence[Run | Item], run: Run) -> bool:
    """P28: "right-handers not lefts": the denial is of what follows it alone."""
    place = parts.index(run)
    return bare_denial(run) and place + 1 < len(parts) and run.items[0].text.lower() == "not"


def _governed(item: Item, run: Run | None, states: dict[int, State]) -> Governed:
    if run is None:
        return Governed(item)
    state = states[id(run)]
    return Governed(item, state, weak=run.has("tried"), run=run)
