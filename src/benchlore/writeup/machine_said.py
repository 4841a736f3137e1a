"""What a job card says of the machine, and the numbers and names at its head."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator, Sequence

from benchlore.language.tokens import trouble_codes
from benchlore.writeup.dates import Dated, days_in
from benchlore.writeup.proposal import Found
from benchlore.writeup.shop_words import ShopWords
from benchlore.writeup.statements import Statement

_YEAR = re.compile(
    r"(?<![\w./-])(?:19[5-9]\d|20\d\d)(?![\w/-]|[.,]\d|\s*(?:rpm|km|miles|mi|h|hrs)\b)"
)
_RUN = re.compile(
    r"(?<![\w.,])(?:\d{1,3}(?:,\d{3})+|\d{1,3}(?: \d{3})+|\d+)k?\s*"
    r"(?:km|kms|miles?|mls|mi|hours?|hrs?|h)(?![\w/])",
    re.I,
)
_UNLABELLED = re.compile(
    r"(?<!\w)(?:mileage|odometer|odo|clocks?)\s+(?P<run>\d[\d,]*\d(?:\s?(?:km|miles|mi|mls)\b)?)",
    re.I,
)
_NUMBER = re.compile(r"\d[\d,. ]*(?:\s*(?:k|km|kms|miles?|mls|mi|hours?|hrs?|h)\b)?", re.I)
_CASE = re.compile(r"[A-Za-z]{0,4}[-/]?\d[\w/-]*")
_INITIALS = re.compile(r"(?<!\w)[A-Z]{2,3}(?!\w)")
_NAME = re.compile(r"[^\W_][\w .-]*")
_NAMED = re.compile(r"[ \t]*(?:[,;:(/\r\n]|\d|$)|[ \t]+(?:auto|diesel|petrol|van)\b", re.I)
_LEAST = {"h": 100, "k": 500}
"""Hours, and any distance, from which on a number at the head of a card is its meter."""

_WORDS_OF_OTHERS = re.compile(r"\b(?:no|not|without|cleared|erased)\s+(?:\w+\s+)?$", re.I)


def machine_said(
    text: str, said: Sequence[Statement], known: ShopWords, today: datetime.date
) -> Iterator[Found]:
    """Yield make, model, year, engine and meter where the card plainly states them."""
    for field in ("make", "model", "engine", "year"):
        yield from _labelled(text, said, field, today)
    for match in _UNLABELLED.finditer(text):
        yield Found("machine.odometer", match["run"], *match.span("run"))
    about = [s for s in said if s.label == "odometer"]
    for statement in about:
        number = _NUMBER.match(text, statement.start, statement.end)
        if number is not None:
            start, unit = number.start(), _hours_label(text, number.start())
            yield Found("machine.odometer", number[0].strip() + unit, start,
                        start + len(number[0].rstrip()))  # fmt: skip
    for number_, statement in enumerate(said):
        if statement.label not in ("", "vehicle", "complaint", "model", "make", "case"):
            continue
        named = list(_names(text, statement, known))
        yield from named
        meter = list(_meter(text, statement))
        if named or statement.label == "vehicle" or number_ == 0:
            yield from meter
        if named or meter or statement.label == "vehicle":
            yield from _year(text, statement, today)


def _hours_label(text: str, start: int) -> str:
    """ " h" where the label before the number says hours: a number alone says nothing."""
    label = re.search(r"(\w+)\W*$", text[max(0, start - 20) : start])
    return " h" if label and label[1].casefold() in ("hours", "hrs", "meter") else ""


def _labelled(
    text: str, said: Sequence[Statement], field: str, today: datetime.date
) -> Iterator[Found]:
    for statement in said:
        if statement.label != field:
            continue
        if field == "year":
            yield from _year(text, statement, today)
            continue
        name = _NAME.match(text, statement.start, statement.end)
        if name is not None and any(char.isalnum() for char in name[0]):
            value = name[0].strip()
            yield Found(f"machine.{field}", value, name.start(), name.start() + len(value))


def _names(text: str, statement: Statement, known: ShopWords) -> Iterator[Found]:
    """Makes, models and engines that the shop has had before."""
    taken: list[tuple[int, int]] = []
    model: Found | None = None
    for field in ("machine.model", "machine.make", "machine.engine"):
        for match in known.pattern(field).finditer(text, statement.start, statement.end):
            start, end = match.span()
            if any(start < e and s < end for s, e in taken) or not _is_name(text, statement, match,
                                                                           field):  # fmt: skip
                continue
            taken.append((start, end))
            found = Found(field, known.as_written(field, match[0]), start, end)
            yield found
            if field == "machine.model":
                model = found
            elif field == "machine.make":
                model = None
            break
    if model is not None and known.make_of(str(model.value)):
        yield Found("machine.make", known.make_of(str(model.value)), model.start, model.end)


def _is_name(text: str, statement: Statement, match: re.Match[str], field: str) -> bool:
    """Say whether a name stands as a name.

    A word of the language ("Fell") is one with its capital inside a sentence; at its start only
    where a number or a mark follows, unless it is a make.
    """
    if field == "machine.engine" or not match[0].isalpha():
        return True
    if match.start() == statement.start:
        return field == "machine.make" or bool(_NAMED.match(text, match.end()))
    return match[0][0].isupper()


def _meter(text: str, statement: Statement) -> Iterator[Found]:
    for match in _RUN.finditer(text, statement.start, statement.end):
        digits = re.sub(r"\D", "", match[0].split(".")[0])
        thousands = bool(re.search(r"\dk", match[0], re.I))
        number = int(digits[:9] or 0) * (1000 if thousands else 1)
        unit = "h" if re.search(r"h(?:ou)?r?s?$", match[0], re.I) else "k"
        if number >= _LEAST[unit]:
            yield Found("machine.odometer", match[0], *match.span())
            return


def _year(text: str, statement: Statement, today: datetime.date) -> Iterator[Found]:
    inside = [(d.start, d.end) for d in days_in(text) if statement.start <= d.start]
    for match in _YEAR.finditer(text, statement.start, statement.end):
        place = match.start() - statement.start
        within = any(start <= match.start() < end for start, end in inside)
        within = within or any(r.start <= place < r.end for r in statement.readings)
        if int(match[0]) <= today.year + 1 and not within:
            yield Found("machine.year", match[0], *match.span())
            return


def codes_said(text: str) -> Iterator[Found]:
    """Yield the trouble codes, as typed."""
    for start, end in trouble_codes(text):
        if not _WORDS_OF_OTHERS.search(text[max(0, start - 30) : start]):
            yield Found("codes", text[start:end], start, end)


def day_said(
    text: str, said: Sequence[Statement], days: Sequence[Dated], today: datetime.date
) -> Iterator[Found]:
    """Yield the day of the card: under its label, else the first that it names."""
    past = [day for day in days if day.day <= today]
    under = [s for s in said if s.label == "date"]
    labelled = [d for d in past if any(s.start <= d.start < s.end for s in under)]
    for day in (labelled or past)[:1]:
        yield Found("date", day.day.isoformat(), day.start, day.end)


def card_said(text: str, said: Sequence[Statement]) -> Iterator[Found]:
    """Yield the job-card number and the initials, where they are labelled."""
    for statement in said:
        if statement.label == "case":
            number = _CASE.match(text, statement.start, statement.end)
            if number is not None:
                yield Found("case", number[0], *number.span())
        elif statement.label == "by":
            initials = _INITIALS.match(text, statement.start, statement.end)
            if initials is not None:
                yield Found("by", initials[0], *initials.span())
