"""What past cases say about a symptom, as frozen data; every figure with the lines it came from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from benchlore.evidence.cautions import Cautions

Verdict = Literal["within", "beyond", "none"]
Outcome = Literal["in order", "not in order"]


@dataclass(frozen=True, slots=True)
class Source:
    """Lines of a note: 1-based, both included. `case` is its job-card number."""

    file: str
    first_line: int
    last_line: int
    case: str = ""


Sources = tuple[Source, ...]


@dataclass(frozen=True, slots=True)
class Share:
    """A share of cases with its 95 % Jeffreys interval; all 0..1.

    Attributes:
        size: effective number of cases (Kish), as near cases count more than distant ones.
    """

    of_all: float
    low: float
    high: float
    size: float


@dataclass(frozen=True, slots=True)
class Written:
    """A cause as one note words it."""

    part: str
    fault: str
    certainty: str
    source: Source


@dataclass(frozen=True, slots=True)
class CauseFound:
    """One cause over the cases.

    Attributes:
        name: the part, as it is most often written.
        cases, close: how many cases have it, and how many of these are close.
        share: None where there are too few cases to say.
        likely: its chance after what has been found, 0..1, all causes and no others counted.
        written: every wording that was taken for this cause.
        certainty: how sure these were: (word, cases).
        fixed, not_fixed, comebacks: cases in which the job ended so.
        anywhere: cases with the same part at any place, this cause's included.
    """

    name: str
    cases: int
    close: int
    share: Share | None
    likely: float
    written: tuple[Written, ...]
    certainty: tuple[tuple[str, int], ...]
    fixed: int
    not_fixed: int
    comebacks: int
    anywhere: int
    sources: Sources


@dataclass(frozen=True, slots=True)
class PairFound:
    """Two causes that acted together in `cases` cases."""

    names: tuple[str, str]
    cases: int
    sources: Sources


@dataclass(frozen=True, slots=True)
class Trap:
    """Something that was taken for the cause and was not.

    Attributes:
        what: the part that was blamed first.
        said: the note's own words.
        instead: what it turned out to be, "" where that is not known.
    """

    what: str
    said: str
    instead: str
    source: Source


@dataclass(frozen=True, slots=True)
class ConditionSeen:
    """A condition, and the cases in which the symptom showed under it or did not."""

    words: str
    shown: int
    missed: int
    shown_in: Sources
    missed_in: Sources


@dataclass(frozen=True, slots=True)
class LimitSeen:
    """A limit as notes give it, and where they have it from."""

    text: str
    limit_from: str
    sources: Sources


@dataclass(frozen=True, slots=True)
class ValueSeen:
    """A measured value.

    Attributes:
        check: the check's name in its own note, which may be wrongly put into this row.
        text: as written.
        converted: in the row's unit where it was written in another, else "".
        low, high: in the row's unit; None where it has no unit that is known.
        verdict: against the limit of its own note.
        said: whether its note calls it in order: "yes", "no" or "".
    """

    check: str
    text: str
    converted: str
    low: float | None
    high: float | None
    limit: str
    limit_from: str
    verdict: Verdict
    said: str
    source: Source


@dataclass(frozen=True, slots=True)
class FindingRow:
    """One check over the cases, its values in one unit ("" where none has a known one).

    Attributes:
        own: the technician's own reading of it, if one was given, against each of `limits`.
    """

    check: str
    unit: str
    values: tuple[ValueSeen, ...]
    limits: tuple[LimitSeen, ...]
    within: int
    beyond: int
    own: tuple[OwnReading, ...] = ()


@dataclass(frozen=True, slots=True)
class OwnReading:
    """The technician's own value against one limit that notes give."""

    text: str
    low: float | None
    high: float | None
    limit: str
    verdict: Verdict
    sources: Sources


@dataclass(frozen=True, slots=True)
class ResultMeaning:
    """What a result of a check would make of the causes.

    Attributes:
        chance: how often to expect it, 0..1.
        causes: (name, chance after this result), the likeliest first.
        rests_on: lines that tie this result to a cause, or rule one out by it.
    """

    outcome: Outcome
    chance: float
    causes: tuple[tuple[str, float], ...]
    rests_on: Sources


@dataclass(frozen=True, slots=True)
class NextCheck:
    """A check worth making next.

    Attributes:
        bits: how much it is expected to narrow the causes.
        minutes: median of what it took here; None where no note says.
        bits_per_minute: with the shop's usual time where no note says.
        invasive: something is taken apart for it.
    """

    check: str
    bits: float
    minutes: float | None
    bits_per_minute: float
    invasive: bool
    results: tuple[ResultMeaning, ...]
    limits: tuple[LimitSeen, ...]
    sources: Sources


@dataclass(frozen=True, slots=True)
class FoundResult:
    """What the technician has found so far.

    Attributes:
        text: as he typed it.
        check: the check it was taken for, "" for none.
        outcome: None where the result could not be told.
        why: why it does not count, else "".
        sources: the cases that record this check.
    """

    text: str
    check: str
    outcome: Outcome | None
    why: str
    sources: Sources


@dataclass(frozen=True, slots=True)
class Spread:
    """Median and range of `count` figures."""

    median: float
    low: float
    high: float
    count: int


@dataclass(frozen=True, slots=True)
class RouteRow:
    """A repair route for one cause or pair of causes.

    Attributes:
        taken, weighed: cases in which it was chosen, and in which it was only considered.
        hours: labour; `parts`, `outside`: money in `currency`; None where no note says.
        total: parts, outside cost and labour at the shop's rate; None where it cannot be known.
        refused: why there is no total, else "".
        years: first and last year of these figures, ("", "") where no note has a date.
        fixed, judged: of the cases in which it was taken and that have an outcome.
        second_go: of those fixed, in which the machine had come back: in the end it was fixed, and
            what was done before was not it.
        comebacks: it was taken, the machine came back, and it is not recorded as fixed.
    """

    route: str
    causes: tuple[str, ...]
    taken: int
    weighed: int
    hours: Spread | None
    parts: Spread | None
    outside: Spread | None
    total: Spread | None
    currency: str
    refused: str
    years: tuple[str, str]
    fixed: int
    judged: int
    second_go: int
    comebacks: int
    sources: Sources


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two routes for the same cause; `break_even_hours` of the first, where there is such a point.

    Above that many hours the second is the cheaper.
    """

    causes: tuple[str, ...]
    first: str
    second: str
    difference: float
    currency: str
    break_even_hours: float | None
    sources: Sources


@dataclass(frozen=True, slots=True)
class Who:
    """A cause against a kind of machine, in all of the shop's cases.

    Attributes:
        table: cause and trait, cause without it, trait without the cause, neither.
        chance: Fisher's exact test, one-sided: how likely so clear a table is by chance alone.
    """

    cause: str
    trait: str
    text: str
    table: tuple[int, int, int, int]
    chance: float
    sources: Sources


@dataclass(frozen=True, slots=True)
class Evidence:
    """What the close and related cases of a question add up to.

    Attributes:
        cases, close: how many cases it rests on, and how many of them are close.
        left_out: close or related cases beyond the likeliest that are added up.
        too_few: there are too few cases for shares.
        unknown: cases whose cause was not found.
        unrecorded: cases that name no cause as such; their text may tell it.
        open: cases not finished.
        nothing_to_choose: why no check is named, else "".
        cautions: the usual ones of the systems concerned and the cases' own; they come first.
    """

    cases: int
    close: int
    left_out: int
    too_few: bool
    causes: tuple[CauseFound, ...]
    pairs: tuple[PairFound, ...]
    unknown: Sources
    unrecorded: Sources
    open: Sources
    traps: tuple[Trap, ...]
    conditions: tuple[ConditionSeen, ...]
    findings: tuple[FindingRow, ...]
    found: tuple[FoundResult, ...]
    checks: tuple[NextCheck, ...]
    nothing_to_choose: str
    routes: tuple[RouteRow, ...]
    comparisons: tuple[Comparison, ...]
    who: tuple[Who, ...]
    cautions: Cautions
    sources: Sources
