"""A case asked for field by field on a plain terminal."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Sequence

import click

from benchlore.cli.output import say
from benchlore.errors import BenchloreError
from benchlore.index.opened import open_index
from benchlore.language.vocabulary import Vocabulary, of_shop
from benchlore.notes.quoting import Value
from benchlore.search.engine import Engine
from benchlore.shop import Shop
from benchlore.text import shown_line
from benchlore.writeup.form import (
    CHOICES,
    JOB,
    MACHINE,
    OUTCOME,
    REST,
    SYMPTOM,
    TABLES,
    Field,
    Fields,
    as_note,
    shown_value,
    typed_value,
    value_at,
    value_words,
    with_added,
    with_value,
)
from benchlore.writeup.near import near_duplicates
from benchlore.writeup.proposing import propose
from benchlore.writeup.shop_words import ShopWords
from benchlore.writeup.understood import understood

Keep = Callable[[Fields, str], None]
"""Called after every answer with all that has been answered, and the free text."""

_ROW = {"checks": "check", "causes": "cause", "routes": "repair"}


def ask_case(shop: Shop, fields: Fields, keep: Keep) -> tuple[Fields, str]:
    """Ask for every field; `fields` holds what is known already.

    Raises:
        click.Abort: Ctrl-C or the end of the input.
    """
    say("Enter leaves a field out; several conditions are parted by commas.", "dim")
    body = ""
    for field in (*SYMPTOM, *MACHINE):
        fields = _ask(field, fields)
        keep(fields, body)
    _tell_conditions(shop, fields)
    for table, columns in TABLES.items():
        fields = _ask_rows(shop, table, columns, fields, lambda now: keep(now, ""))
    for field in (*OUTCOME, *REST, *JOB):
        fields = _ask(field, fields)
        keep(fields, body)
    body = _prompt("what else should be told", "")
    keep(fields, body)
    return fields, f"{body}\n" if body else ""


def _ask(field: Field, fields: Fields) -> Fields:
    known = shown_value(field, value_at(fields, field.key))
    text = _prompt(_label(field), known)
    return with_value(fields, field.key, typed_value(field, text)) if text or known else fields


def _ask_rows(
    shop: Shop, table: str, columns: Sequence[Field], fields: Fields, keep: Callable[[Fields], None]
) -> Fields:
    """Ask for rows until one is not named."""
    while True:
        first, *others = columns
        count = len(value_at(fields, table))
        name = _prompt(f"{_ROW[table]} {count + 1}", "")
        if not name:
            return fields
        row: dict[str, Value] = {first.key: name}
        for field in others:
            if text := _prompt(f"  {_label(field)}", ""):
                row[field.key] = typed_value(field, text)
        fields = with_added(fields, table, row)
        keep(fields)
        if table == "checks":
            _tell_check(shop, fields)


def _label(field: Field) -> str:
    choices = CHOICES.get(field.key)
    hint = " / ".join(choices) if choices else field.hint
    return f"{field.label} ({hint})" if hint else field.label


def _prompt(label: str, known: str) -> str:
    answer: str = click.prompt(
        shown_line(label), default=shown_line(known), show_default=bool(known)
    )
    return answer.strip()


def _tell_conditions(shop: Shop, fields: Fields) -> None:
    read = understood(as_note(fields, ""), of_shop(shop.settings.vocabulary))
    for condition in read.conditions:
        if condition.words:
            say(f"  read as: {condition.words}", "dim")
    for condition in read.not_understood:
        say(f"  no condition read from: {condition.text}", "dim")


def _tell_check(shop: Shop, fields: Fields) -> None:
    check = understood(as_note(fields, ""), of_shop(shop.settings.vocabulary)).checks[-1]
    if check.words:
        say(f"  read as: {check.words}", "dim")


def ask_proposals(shop: Shop, text: str, today: datetime.date) -> Fields:
    """What a text says, proposed one by one; only what is accepted is given back."""
    fields: Fields = {}
    vocabulary = of_shop(shop.settings.vocabulary)
    for proposal in propose(text, vocabulary, today, _shop_words(shop, vocabulary)):
        words = value_words(proposal.value)
        question = shown_line(f"{proposal.field}: {words}  (line {proposal.line})")
        if click.confirm(question, default=True):
            fields = with_added(fields, proposal.field, proposal.value)
    return fields


def _shop_words(shop: Shop, vocabulary: Vocabulary) -> ShopWords | None:
    try:
        return ShopWords.of_store(open_index(shop).store, vocabulary)
    except BenchloreError:
        return None  # without an index its makes and models are not known


def confirm_near(shop: Shop, fields: Fields, body: str) -> bool:
    """Show the cases that are nearly this one; True when it is to be saved all the same."""
    try:
        near = near_duplicates(Engine(open_index(shop)), as_note(fields, body))
    except BenchloreError:
        return True  # without an index there is nothing to compare with
    if not near:
        return True
    say("Nearly the same:", "bold")
    for each in near:
        say(f"  {each.note.case}  {each.words}")
        say(f"    {each.note.path}", "dim")
    doubled = any(each.same_case for each in near)
    return click.confirm("Save it as a case of its own?", default=not doubled)
