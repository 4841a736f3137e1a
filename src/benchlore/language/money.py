"""Amounts of money as notes write them: "85", "£1,250.50", "40 EUR"."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from benchlore.notes.scalars import read_number

_SIGNS = {
    "\N{POUND SIGN}": "GBP", "\N{EURO SIGN}": "EUR", "$": "USD", "\N{YEN SIGN}": "JPY",
    "quid": "GBP", "pound": "GBP", "pounds": "GBP", "sterling": "GBP", "euro": "EUR",
    "euros": "EUR", "dollar": "USD", "dollars": "USD", "us$": "USD", "kr": "SEK", "zl": "PLN",
    "fr": "CHF", "a$": "AUD", "c$": "CAD",
}  # fmt: skip
"""Common practice, no source."""

_CURRENCIES = (
    "AED ALL ARS AUD BGN BRL CAD CHF CLP CNY CZK DKK EGP EUR GBP GEL HKD HUF IDR ILS INR ISK JPY"
    " KES KRW MAD MXN MYR NGN NOK NZD PHP PLN RON RSD SAR SEK SGD THB TRY UAH USD VND ZAR"
)
"""Codes of ISO 4217 that a workshop may meet, from memory; the shop's own counts as well. "85 net"
and "85 VAT" name no currency."""

_CODES = frozenset(_CURRENCIES.split())

_AMOUNT = re.compile(
    r"(?P<before>[^\d\s.,+-]*)\s*(?P<number>[0-9][0-9.,]*)\s*(?P<after>[^\d\s.,]*)\.?"
)


class MixedCurrencies(ValueError):
    """Amounts in different currencies are never added."""


@dataclass(frozen=True, slots=True)
class Money:
    """An amount, not negative, in a currency of ISO 4217 or as the shop writes it."""

    amount: float
    currency: str


def read_money(text: str, currency: str = "") -> Money | None:
    """Return the amount that `text` is; None for what is none.

    `currency` is the shop's own, for an amount that names none. A currency that is not known makes
    no amount of it.
    """
    match = _AMOUNT.fullmatch(text.strip())
    if match is None:
        return None
    number = read_number(match["number"])
    said = (match["before"] or match["after"]).casefold()
    if number is None or (match["before"] and match["after"]):
        return None
    if not said or said == currency.casefold():
        return Money(number, currency)
    meant = _SIGNS.get(said, said.upper())
    return Money(number, meant) if meant in _CODES else None


def total(amounts: Iterable[Money]) -> Money:
    """Return the sum of `amounts`.

    Raises:
        MixedCurrencies: they are not all in one currency.
    """
    listed = list(amounts)
    currencies = dict.fromkeys(each.currency for each in listed)
    if len(currencies) > 1:
        named = " and ".join(each or "no currency" for each in currencies)
        raise MixedCurrencies(f"amounts in {named} are not added up")
    return Money(sum(each.amount for each in listed), next(iter(currencies), ""))
