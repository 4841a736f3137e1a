"""A figure to a condition: engine speed, road speed, temperature, time or distance."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace

from benchlore.language import units
from benchlore.language.figures import Figure
from benchlore.language.items import Value
from benchlore.language.spans import Span, canonical, named

RPM_LEAST, RPM_MOST = 600, 9000
SPEED_LEAST, SPEED_MOST = 10, 200
OUTSIDE_MOST_C = 38.0
"""Warmer than this is taken for the engine's temperature unless the words speak of the weather."""

SECONDS_MOST = 90.0
MINUTES_MOST = 15 * 60.0
LONG_RUN_S = 10 * 60.0
LONG_RUN_KM = 15.0
FIRST_USE_KM = 17.0
HEAT_SOAK_S = 45 * 60.0
STOOD_S = 20 * 3600.0
RUN_MOST_S = 12 * 3600.0


@dataclass(frozen=True, slots=True)
class Around:
    """What stands around a figure.

    Attributes:
        before: words of the clause before it, nearest last.
        after: the word after it.
        free: nothing that it could count follows: a stop, a preposition, a condition, a symptom.
        engine: engine words stand in the sentence.
        led: a word such as "until", "only" or "except" stands right before it.
        braking: braking or slowing stands right before it ("from 60" is the speed itself).
        reached: "ran it up to 3k": the number itself was reached.
        outside: words of the weather stand with it.
        rested: a restart stands right before it.
    """

    before: tuple[str, ...]
    after: str
    free: bool
    engine: bool
    led: bool
    braking: bool
    reached: bool
    outside: bool
    rested: bool


@dataclass(frozen=True, slots=True)
class Measure:
    """A condition read from a figure; `early` and `late` as in `items.Item`."""

    values: tuple[Value, ...] = ()
    early: tuple[Value, ...] = ()
    late: tuple[Value, ...] = ()


def measure(figure: Figure, around: Around) -> Measure | None:
    """Return the condition that `figure` states; None when it states none."""
    kind = figure.kind
    if around.reached and figure.sign == "<=":
        figure = replace(figure, sign="")
    if kind == "rpm":
        return _one("rpm", figure, "", "rpm", 1.0)
    if kind == "speed":
        return _speed(figure, around)
    if kind == "clicks":
        return _clicks(figure, around)
    if kind == "temp":
        return _temperature(figure, around)
    if kind == "time":
        return _time(figure, around)
    if kind == "distance":
        return _distance(figure, around)
    if kind == "thousand":
        return _one("rpm", figure, "", "rpm", 1.0) if around.after != "ohm" else None
    return _bare(figure, around) if not kind else None


def _one(axis: str, figure: Figure, unit: str, base: str, factor: float) -> Measure:
    low, high = figure.ends
    written = canonical(figure.sign, figure.low, figure.high, unit)
    return Measure((Value(axis, written, Span(low * factor, high * factor, base)),))


def _speed(figure: Figure, around: Around) -> Measure:
    if around.braking and figure.sign == ">=":
        figure = replace(figure, sign="")
    unit = figure.head if figure.head == "mph" else ""
    return _one("speed", figure, unit, "km/h", units.speed_kmh(1.0, figure.head or "km/h"))


def _clicks(figure: Figure, around: Around) -> Measure | None:
    """Read "at 100 clicks" as km/h; "after 100 clicks" is a distance, "three clicks" a noise."""
    counted = {"after", "first", "every", "within", "last", "for"} & set(around.before[-3:])
    if counted or not (figure.cued or around.led) or not SPEED_LEAST <= figure.low <= SPEED_MOST:
        return None
    return _speed(replace(figure, head="km/h"), around)


def _bare(figure: Figure, around: Around) -> Measure | None:
    """Read a number without a unit: its size and the words around it decide."""
    top = figure.low if figure.high is None else figure.high
    cued = figure.cued or around.led or figure.high is not None
    if not (figure.low >= 0 and figure.low.is_integer()):  # a number too long to count is inf
        return None
    if figure.low >= RPM_LEAST and top <= RPM_MOST:
        year = 1950 <= figure.low <= 2040 and around.before[-1:] in (("since",), ("in",), ("of",))
        if (cued or around.engine) and around.free and not year:
            return _one("rpm", figure, "", "rpm", 1.0)
    elif figure.low >= SPEED_LEAST and top <= SPEED_MOST and around.free:
        round_range = figure.high is None or figure.low % 5 == 0
        if cued and round_range:
            return _speed(figure, around)
    return None


def _temperature(figure: Figure, around: Around) -> Measure | None:
    low, high = (units.celsius(end, figure.head) for end in figure.ends)
    span = Span(low, high, "C")
    finite = high if high != float("inf") else low
    if finite <= OUTSIDE_MOST_C or around.outside:
        name = "" if figure.sign else _weather_name(low, high)
        written = canonical(figure.sign, figure.low, figure.high, figure.head)
        return Measure((Value("weather", name or written, span),))
    name = named("temp", span)
    written = canonical(figure.sign, figure.low, figure.high, figure.head)
    return Measure((Value("temp", name or written, span),))


def _weather_name(low: float, high: float) -> str:
    return "cold-day" if high <= 5 else "hot-day" if low >= 25 else ""


def _time(figure: Figure, around: Around) -> Measure | None:
    """Read a time: only after "first", "for", "after", "within" or before "later"."""
    factor = units.seconds(1.0, figure.head)
    low, high = figure.ends
    most = (high if high != float("inf") else low) * factor
    resting = {"stood", "stopped", "left", "sat", "standing", "parked", "sitting", "waiting"}
    if {"leave", "leaving"} & set(around.before[-3:]):
        return _rested(most)
    resting &= set(around.before[-4:])
    if (
        around.rested
        or (resting and "for" in around.before)
        or (around.after == "of" and "within" in around.before)
    ):
        return _rested(most)
    opening = _early(most)
    cue = next(
        (
            word
            for word in reversed(around.before[-3:])
            if word
            in (
                "first",
                "after",
                "within",
                "for",
                "stood",
                "stopped",
                "left",
                "sat",
                "standing",
                "parked",
                "sitting",
                "waiting",
                "every",
                "last",
                "in",
                "lasts",
                "lasting",
            )
        ),
        "",
    )
    if cue == "in" and most <= SECONDS_MOST and opening:
        return Measure((), (Value(*opening, Span(0.0, most, "s")),))  # "gone in 3 to 5 s"
    if {"until", "till", "til"} & set(around.before) and not resting:
        cue = "after"
    if around.after in ("later",):
        cue = "after"
    early = opening
    span = Span(0.0, most, "s")
    beginning = Measure((Value(*early, span),)) if early else None
    if not cue and figure.loose and most <= SECONDS_MOST and not around.after.isalpha():
        return beginning  # "loud tapping, about 3 seconds"
    if cue in ("first", "within"):
        return beginning
    if cue in ("for", "lasts", "lasting"):
        return beginning if most <= SECONDS_MOST else None
    if cue in ("stood", "stopped", "left", "sat", "standing", "parked", "sitting", "waiting"):
        return _rested(most)
    if cue != "after":
        return beginning if around.after == "then" and most <= SECONDS_MOST else None
    if around.after in (
        "standing",
        "stood",
        "stop",
        "stopped",
        "sitting",
        "rest",
        "parked",
        "off",
        "cooling",
        "switched",
    ):
        return _rested(most)
    if most > RUN_MOST_S:
        return None  # "after a week of school runs"
    later = Span(most, float("inf"), "s")
    late = (
        ("history", "long-run")
        if most >= LONG_RUN_S
        else ("history", canonical(">=", figure.low, None, figure.head))
    )
    return Measure((), (Value(*early, span),) if early else (), (Value(*late, later),))


def _early(most: float) -> tuple[str, str] | None:
    if most <= SECONDS_MOST:
        return ("course", "first-seconds")
    return ("temp", "warming") if most <= MINUTES_MOST else None


def _rested(most: float) -> Measure:
    name = "heat-soak" if most <= HEAT_SOAK_S else "stood" if most <= STOOD_S else "laid-up"
    return Measure((Value("history", name, Span(most, most, "s")),))


def _distance(figure: Figure, around: Around) -> Measure | None:
    """Read a distance driven: only after "first", "after" or "within"."""
    factor = units.kilometres(1.0, figure.head)
    low, high = figure.ends
    most = (high if high != float("inf") else low) * factor
    near = around.before[-3:]
    early = (Value("history", "first-use", Span(0.0, most, "km")),)
    if "last" in near or "every" in near or "since" in near:
        return None
    if "first" in near or "within" in near:
        return Measure(early) if most <= FIRST_USE_KM else None
    if "after" not in near and around.after not in ("later",):
        return None
    name = "long-run" if most >= LONG_RUN_KM else canonical(">=", figure.low, None, figure.head)
    late = (Value("history", name, Span(most, float("inf"), "km")),)
    return Measure((), early if most <= FIRST_USE_KM else (), late)


def has_engine_words(words: Collection[str], engine: frozenset[str]) -> bool:
    """Say whether engine words stand among `words`."""
    return not engine.isdisjoint(words)
