"""Evidence in words, for every screen and printout alike: sections of rows, each with its sources.

The texts still hold whatever notes hold: pass them through `benchlore.text` to show them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from benchlore.evidence.model import (
    CauseFound,
    Comparison,
    Evidence,
    FindingRow,
    FoundResult,
    LimitSeen,
    NextCheck,
    RouteRow,
    Share,
    Sources,
    Spread,
    ValueSeen,
)
from benchlore.evidence.strip import LEGEND, strip

MOST_CONDITIONS, MOST_CHECKS, MOST_ROUTES, MOST_CAUSES, MOST_FINDINGS = 8, 6, 12, 8, 20
MOST_MEANT, MOST_NAMED = 3, 4
LEAST_LIKELY = 0.03
"""Causes that are less likely stand in one row together: own choice, no source."""


@dataclass(frozen=True, slots=True)
class Row:
    """One statement. `depth` 1 tells more of the row above; `cause` is the cause it is about.

    `check` is the check it is about, by its name.
    """

    text: str
    sources: Sources = ()
    depth: int = 0
    cause: str = ""
    check: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A heading and what stands below it."""

    title: str
    rows: tuple[Row, ...]


def sections(evidence: Evidence, width: int = 78) -> tuple[Section, ...]:
    """Return `evidence` in words; strips take at most `width` cells. Empty sections are left out.

    Cautions are not among them: they are shown before.
    """
    made = (
        Section("What it turned out to be", tuple(_causes(evidence))),
        Section("Found so far", tuple(_found(each) for each in evidence.found)),
        Section("What to check next", tuple(_checks(evidence))),
        Section("First diagnoses that came back", tuple(_traps(evidence))),
        Section("How to make it show", tuple(_conditions(evidence))),
        Section("Measured, beside the limits", tuple(_findings(evidence, width))),
        Section("What repairs took and cost here", tuple(_routes(evidence))),
        Section("Machines it goes with", tuple(Row(w.text, w.sources) for w in evidence.who)),
    )
    return tuple(section for section in made if section.rows)


def basis_line(evidence: Evidence) -> str:
    """`from 9 cases, 4 of them close`; `from the nearest 30 of 52 cases, ...`."""
    if not evidence.cases:
        return "no case is close or related: nothing to add up"
    basis = _cases(evidence.cases)
    if evidence.left_out:
        basis = f"the nearest {evidence.cases} of {_cases(evidence.cases + evidence.left_out)}"
    return f"from {basis}, {evidence.close or 'none'} of them close"


def cause_line(cause: CauseFound, evidence: Evidence) -> str:
    """`wheel bearing: 6 of 9 cases, 61 % (32 to 85 %); proved 5, likely 1; came back 1`."""
    line = f"{cause.name}: {cause.cases} of {_cases(evidence.cases)}"
    line += f" ({cause.close} close)" if cause.close != cause.cases else ""
    line += f", {_share(cause.share)}" if cause.share else ", too few to say how often"
    said = ", ".join(f"{word or 'certainty not said'} {count}" for word, count in cause.certainty)
    parts = [line, said]
    if evidence.found:
        parts.append(f"now {_percent(cause.likely)}")
    if cause.comebacks:
        parts.append(f"came back {cause.comebacks}")
    if cause.not_fixed:
        parts.append(f"not fixed {cause.not_fixed}")
    return "; ".join(filter(None, parts))


def next_check_line(check: NextCheck) -> str:
    """`hub spun by hand: 0.42 bits in 5 min, 0.084 a minute`."""
    time = "time not recorded" if check.minutes is None else f"{_number(check.minutes)} min"
    opened = "; something comes apart" if check.invasive else ""
    return (
        f"{check.check}: tells {check.bits:.2f} bits in {time}"
        f" ({check.bits_per_minute:.3f} a minute){opened}"
    )


def _causes(evidence: Evidence) -> Iterator[Row]:
    shown = [cause for cause in evidence.causes if cause.likely >= LEAST_LIKELY][:MOST_CAUSES]
    for cause in shown:
        yield Row(cause_line(cause, evidence), cause.sources, cause=cause.name)
        if cause.anywhere > cause.cases:
            text = f"the same part, at any place or failed otherwise: {_cases(cause.anywhere)}"
            yield Row(text, cause.sources, 1, cause.name)
        wordings = dict.fromkeys((w.part, w.fault) for w in cause.written)
        if len(wordings) > 1:
            for part, fault in wordings:
                here = tuple(w.source for w in cause.written if (w.part, w.fault) == (part, fault))
                yield Row(f"written: {_joined(': ', part, fault)}", here, 1, cause.name)
    rest = evidence.causes[len(shown) :]
    if rest:
        names = ", ".join(cause.name for cause in rest[:MOST_NAMED])
        names += ", ..." if len(rest) > MOST_NAMED else ""
        text = f"{len(rest)} more, each less likely: {names}"
        yield Row(text, tuple(s for cause in rest for s in cause.sources))
    named = {cause.name for cause in shown}
    for pair in evidence.pairs:
        if named.isdisjoint(pair.names):
            continue
        text = f"together: {pair.names[0]} and {pair.names[1]}, in {_cases(pair.cases)}"
        yield Row(text, pair.sources)
    if evidence.unknown:
        yield Row(f"cause not found in {_cases(len(evidence.unknown))}", evidence.unknown)
    if evidence.unrecorded:
        text = f"no cause written down as such in {_cases(len(evidence.unrecorded))}"
        yield Row(f"{text}: their text may tell it", evidence.unrecorded)
    if evidence.open:
        yield Row(f"still open: {_cases(len(evidence.open))}", evidence.open)


def _traps(evidence: Evidence) -> Iterator[Row]:
    for trap in evidence.traps:
        instead = f", it was {trap.instead}" if trap.instead else ""
        yield Row(f'{trap.what}{instead}: "{trap.said}"', (trap.source,))


def _conditions(evidence: Evidence) -> Iterator[Row]:
    for seen in evidence.conditions[:MOST_CONDITIONS]:
        said = []
        if seen.shown:
            said.append(f"shows in {seen.shown}")
        if seen.missed:
            said.append(f"absent in {seen.missed}")
        text = f"{seen.words}: {', '.join(said)} of {_cases(evidence.cases)}"
        yield Row(text, (*seen.shown_in, *seen.missed_in))


def _found(result: FoundResult) -> Row:
    if result.outcome:
        return Row(f"{result.text} - taken as {result.outcome} for: {result.check}", result.sources)
    about = f" ({result.check})" if result.check else ""
    return Row(f"{result.text}{about} - not counted: {result.why}", result.sources)


def _checks(evidence: Evidence) -> Iterator[Row]:
    for check in evidence.checks[:MOST_CHECKS]:
        yield Row(next_check_line(check), check.sources, check=check.check)
        for result in check.results:
            if not result.rests_on:
                continue
            meant = ", ".join(
                f"{name} {_percent(chance)}" for name, chance in result.causes[:MOST_MEANT]
            )
            text = f"{result.outcome}: {meant}"
            yield Row(text, result.rests_on, 1, check=check.check)
        if check.limits:
            yield Row(_limits(check.limits), check.sources, 1, check=check.check)
    if evidence.nothing_to_choose and evidence.cases:
        yield Row(evidence.nothing_to_choose)


def _findings(evidence: Evidence, width: int) -> Iterator[Row]:
    drawn = False
    for finding in evidence.findings[:MOST_FINDINGS]:
        sources = tuple(value.source for value in finding.values)
        yield Row(_finding_line(finding), sources, check=finding.check)
        line = strip(finding, width)
        if line:
            drawn = True
            yield Row(line, sources, 1, check=finding.check)
        for value in finding.values:
            line = _value_line(value, finding.check)
            yield Row(line, (value.source,), 1, check=finding.check)
        for own in finding.own:
            text = f"yours: {own.text}, {_verdict(own.verdict, own.limit, '')}"
            yield Row(text, own.sources, 1, check=finding.check)
    if drawn:
        yield Row(f"on the strips: {LEGEND}")


def _finding_line(finding: FindingRow) -> str:
    count = len(finding.values)
    judged = [f"beyond {finding.beyond}"] * bool(finding.beyond)
    judged += [f"within {finding.within}"] * bool(finding.within)
    rest = count - finding.beyond - finding.within
    judged += [f"not judged {rest}"] * bool(rest)
    return f"{finding.check}: {', '.join(judged)}"


def _value_line(value: ValueSeen, row: str) -> str:
    """The value with its verdict and case, and the check's own name where that is another."""
    shown = f"{value.text} = {value.converted}" if value.converted else value.text
    line = f"{shown}, {_verdict(value.verdict, value.limit, value.limit_from)}"
    if (value.said, value.verdict) in (("yes", "beyond"), ("no", "within")):
        line += f"; the note says {'in order' if value.said == 'yes' else 'not in order'}"
    named = "" if value.check.casefold() == row.casefold() else f": {value.check}"
    return f"{line} (case {value.source.case}{named})"


def _verdict(verdict: str, limit: str, limit_from: str) -> str:
    source = f", {limit_from}" if limit_from else ""
    if not limit:
        return "no limit given"
    if verdict == "none":
        return f"not judged against {limit}{source}"
    return f"{verdict} {limit}{source}"


def _limits(limits: Sequence[LimitSeen]) -> str:
    said = "; ".join(_joined(", ", each.text, each.limit_from) for each in limits)
    return f"limit{'s' if len(limits) > 1 else ''}: {said}"


def _routes(evidence: Evidence) -> Iterator[Row]:
    last: tuple[str, ...] = ()
    for route in evidence.routes[:MOST_ROUTES]:
        if route.causes != last:
            yield Row(f"for {' with '.join(route.causes)}", cause=route.causes[0])
            last = route.causes
        yield Row(route_line(route), route.sources, 1, route.causes[0])
        for comparison in evidence.comparisons:
            if comparison.second == route.route and comparison.causes == route.causes:
                yield Row(comparison_line(comparison), comparison.sources, 1, route.causes[0])


def route_line(route: RouteRow) -> str:
    """`new bearing: taken 3, 2.2 h, parts 85 GBP, total 234.60 GBP, 2021 to 2025, fixed 3 of 3`."""
    currency = f" {route.currency}" if route.currency else ""
    parts = [f"taken {route.taken}" if route.taken else "weighed, not taken"]
    if route.taken and route.weighed:
        parts.append(f"only weighed {route.weighed}")
    parts += [
        f"{lead}{_spread(spread)}{unit}"
        for lead, spread, unit in (
            ("", route.hours, " h"),
            ("parts ", route.parts, currency),
            ("outside ", route.outside, currency),
            ("total ", route.total, currency),
        )
        if spread
    ]
    if route.refused:
        parts.append(f"no total: {route.refused}")
    first, last = route.years
    if first:
        parts.append(first if first == last else f"{first} to {last}")
    if route.judged:
        parts.append(f"fixed {route.fixed} of {route.judged}")
    if route.second_go:
        parts.append(f"{route.second_go} of these only after it had come back")
    if route.comebacks:
        parts.append(f"came back {route.comebacks}")
    return f"{route.route}: {', '.join(parts)}"


def comparison_line(comparison: Comparison) -> str:
    """`exchange unit against repair: 120 GBP dearer; cheaper once repair takes over 41 h`."""
    currency = f" {comparison.currency}" if comparison.currency else ""
    amount = abs(comparison.difference)
    side = "dearer" if comparison.difference > 0 else "cheaper"
    text = f"{comparison.second} against {comparison.first}: "
    text += f"{_money(amount)}{currency} {side}" if amount else "costs the same"
    if comparison.break_even_hours is not None:
        text += f"; {comparison.second} is the cheaper once {comparison.first} takes more than"
        text += f" {comparison.break_even_hours:.1f} h"
    return text


def _share(share: Share) -> str:
    return f"{_percent(share.of_all)} ({_percent(share.low)[:-2]} to {_percent(share.high)})"


def _percent(share: float) -> str:
    return f"{share * 100:.0f} %"


def _cases(count: int) -> str:
    return f"{count} case" if count == 1 else f"{count} cases"


def _number(number: float) -> str:
    return f"{number:g}"


def _money(amount: float) -> str:
    return f"{amount:.0f}" if float(amount).is_integer() else f"{amount:.2f}"


def _spread(spread: Spread) -> str:
    if spread.low == spread.high:
        return _money(spread.median) if spread.median >= 20 else _number(round(spread.median, 2))
    median, low, high = (
        _number(round(each, 2)) for each in (spread.median, spread.low, spread.high)
    )
    return f"{median} ({low} to {high})"


def _joined(separator: str, *parts: str) -> str:
    return separator.join(part for part in parts if part)
