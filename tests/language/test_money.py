"""Amounts of money as notes write them."""

from __future__ import annotations

import pytest

from benchlore.language.money import MixedCurrencies, Money, read_money, total


@pytest.mark.parametrize(
    ("text", "amount", "currency"),
    [
        ("85", 85.0, "GBP"), ("1,250.50", 1250.5, "GBP"), ("£85", 85.0, "GBP"),
        ("85 GBP", 85.0, "GBP"), ("EUR 40", 40.0, "EUR"), ("40 euros", 40.0, "EUR"),
        ("$1,183.05", 1183.05, "USD"), ("85 quid", 85.0, "GBP"), ("0", 0.0, "GBP"),
        ("€12.50", 12.5, "EUR"),
    ],
)  # fmt: skip
def test_an_amount(text: str, amount: float, currency: str) -> None:
    assert read_money(text, "GBP") == Money(amount, currency)


@pytest.mark.parametrize(
    "text", ["", "a lot", "-5", "85 per side", "3k", "£ 85 EUR", "85 widgets", "85 net", "85 VAT"]
)
def test_no_amount(text: str) -> None:
    assert read_money(text, "GBP") is None


def test_one_currency_adds_up_and_two_are_refused() -> None:
    assert total([Money(1.0, "GBP"), Money(2.5, "GBP")]) == Money(3.5, "GBP")
    with pytest.raises(MixedCurrencies, match="GBP and EUR"):
        total([Money(1.0, "GBP"), Money(2.5, "EUR")])
