"""What is offered for a field while it is filled in."""

from __future__ import annotations

import datetime
import re
from collections.abc import Mapping
from dataclasses import dataclass

from benchlore.writeup.form import CHOICES, MARKS, Field, Texts
from benchlore.writeup.shop_words import ShopWords

_BARE_NUMBER = re.compile(r"[-+]?\d+(?:[.,]\d+)?")
MOST = 5


@dataclass(frozen=True, slots=True)
class Offer:
    """One text for a field: how it is shown, and the whole field with it."""

    says: str
    text: str


class Offers:
    """Looks up what a shop would write in a field. `words` is None until an index is open."""

    def __init__(self, today: datetime.date, words: ShopWords | None = None) -> None:
        self._today = today
        self.words = words
        self.proposed: Mapping[str, str] = {}
        """What the text says by the field's key, as it would stand in it."""

    def for_field(self, table: str, field: Field, typed: str, beside: Texts) -> tuple[Offer, ...]:
        """Return up to `MOST` offers, the best first.

        Args:
            table: the table that the field is in, empty for one that stands once.
            field: the field.
            typed: what stands in it.
            beside: what stands in the other fields of its row, or of the form.
        """
        marks = MARKS[field.kind]
        cut = max((typed.rfind(mark) + 1 for mark in marks), default=0)
        lead, last = typed[:cut], typed[cut:].strip()
        key = f"{table}.{field.key}" if table else field.key
        found = dict.fromkeys((*self._ready(key, typed), *self._completed(key, last, beside)))
        gap = " " if lead else ""
        offers = [Offer(text, f"{lead}{gap}{text}") for text in found]
        return tuple(offer for offer in offers if offer.text != typed)[:MOST]

    def _ready(self, key: str, typed: str) -> tuple[str, ...]:
        """Texts that need no letter typed."""
        if typed.strip():
            return ()
        if key in ("date", "outcome.date"):
            return (self._today.isoformat(),)
        said = self.proposed.get(key, "")
        return (said,) if said else ()

    def _completed(self, key: str, last: str, beside: Texts) -> tuple[str, ...]:
        choices = CHOICES.get(key.rpartition(".")[2] if key not in CHOICES else key)
        if choices:
            return tuple(each for each in choices if each.startswith(last) and each != last)
        if self.words is None:
            return ()
        if key == "checks.value":
            return self._with_unit(last, beside)
        if key == "cautions" and not last:
            return self.words.cautions(beside.get("system", ""))
        if key == "machine.make" and not last:
            make = self.words.make_of(beside.get("machine.model", ""))
            return (make,) if make else ()
        return self.words.complete(key, last, MOST) if last else ()

    def _with_unit(self, last: str, beside: Texts) -> tuple[str, ...]:
        if self.words is None or not _BARE_NUMBER.fullmatch(last):
            return ()
        return tuple(f"{last} {unit}" for unit in self.words.units(beside.get("check", "")))
