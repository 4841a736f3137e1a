"""Items to sentences and clauses (rule 1), and the sentences that tell nothing (rule 6, 7)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from benchlore.language.items import Clause, Item

_STATES = (
    "bad",
    "fine",
    "no",
    "not",
    "gone",
    "worse",
    "better",
    "almost",
    "same",
    "no-effect",
    "back",
    "onset",
    "tried",
    "lack",
    "no-longer",
)
_AIR = ("hot", "cold", "warm", "cool", "stone cold", "ice cold", "freezing cold", "freezing")
_DROPPING = ("repair", "outcome")


MOST_ITEMS = 200
"""Items of one sentence; nobody writes more before a full stop."""


def sentences(items: Sequence[Item]) -> Iterator[list[Item]]:
    """Cut items at the ends of sentences; a question mark stays the last item."""
    sentence: list[Item] = []
    for item in items:
        if "sentence" in item.tags and item.kind == "stop":
            if item.text.startswith("?"):
                sentence.append(item)
            if sentence:
                yield sentence
            sentence = []
        else:
            sentence.append(item)
            if len(sentence) == MOST_ITEMS:  # no sentence any more: each is looked at with the rest
                yield sentence
                sentence = []
    if sentence:
        yield sentence


def clauses(sentence: Sequence[Item]) -> list[Clause]:
    """Cut a sentence at `, ; : -`, at "but", "then" and at an "and" before a new statement."""
    parts = [Clause("")]
    for place, item in enumerate(sentence):
        intro = _intro(sentence, place, parts[-1])
        if not intro:
            parts[-1].items.append(item)
            continue
        if parts[-1].items:
            parts.append(Clause(intro))
        elif intro != "," or not parts[-1].intro:
            parts[-1].intro = intro
    return [part for part in parts if part.items]


def _intro(sentence: Sequence[Item], place: int, before: Clause) -> str:
    item = sentence[place]
    if item.kind == "stop":
        return "," if "clause" in item.tags else ""
    if item.kind != "cue":
        return ""
    if "but" in item.tags:
        return "but"
    if "then" in item.tags and any(later.kind != "stop" for later in sentence[place + 1 :]):
        return "then"
    worked_on = any(earlier.tags & {"repair"} for earlier in before.items)
    told = before.conditions or worked_on
    if "and" in item.tags and told and _states_first(sentence[place + 1 :]):
        return "and"
    return ""


def _states_first(rest: Sequence[Item]) -> bool:
    """Say whether a statement comes before the next condition, and is not that of a list."""
    for item in rest:
        if item.kind == "stop" or (item.kind == "cond" and not item.tags):
            return False
        if not item.tags.isdisjoint(_STATES):
            return True
    return False


def question(sentence: Sequence[Item]) -> list[Item]:
    """P46, rule 7: drop what only asks; "why does it ... when" takes its conditions for given.

    Returns what is left of the sentence to read.
    """
    asked = bool(sentence) and sentence[-1].kind == "stop" and "sentence" in sentence[-1].tags
    body = [item for item in sentence if "sentence" not in item.tags]
    for place, item in enumerate(body):
        if "job" in item.tags:
            return body[:place] if place and body[place - 1].kind == "stop" else []
    if not body:
        return body
    if any("asks-why" in item.tags for item in body):
        return body
    if "plain-question" in body[0].tags:
        return []
    if not asked:
        return body
    for place in range(len(body) - 1, 0, -1):
        if body[place - 1].kind == "stop" and "asks" in body[place].tags:
            return body[:place]
    return []


def telling(parts: Sequence[Clause]) -> list[Clause]:
    """P36, rule 6: leave out the clauses that tell of findings, repairs and outcomes."""
    kept = []
    if parts and parts[0].items[0].tags & {"check"} and any(part.has("finding") for part in parts):
        return []  # "checked for leaks hot and cold, none found"
    if parts and parts[0].items[0].tags & {"check"} and _nothing_but_denials(parts[1:]):
        return []  # "checked at idle, no leaks"
    if any(part.has("repair") for part in parts) and _nothing_but_denials(parts):
        return []  # P36: "retorqued, no knock over humps" is an outcome
    if any(part.has("air") for part in parts):
        parts = [_without_air(part) for part in parts]
    for part in parts:
        negative = part.has("no", "not", "lack", "tried", "no-longer")
        finding = part.has("finding") and (negative or not part.has("bad", "worse"))
        finding = finding or (part.has("broken") and _of_a_part(part))
        outcome = part.has(*_DROPPING) or (part.has("since") and part.has("fine", "gone"))
        since = any(
            v.axis == "history"
            and v.value.startswith("after-")
            and item.text.lower().startswith("since")
            for item in part.conditions
            for v in item.values
        )
        if not (finding or outcome or (since and part.has("fine", "gone") and not negative)):
            kept.append(part)
    return kept


_SAID = ("bad", "worse", "better", "still", "lack", "func", "back", "same", "onset", "no-effect")


def _nothing_but_denials(parts: Sequence[Clause]) -> bool:
    """Say whether every clause that says something says that there is nothing."""
    denied = False
    for part in parts:
        if part.has("no", "not", "tried"):
            if part.has("func", "lack", "same", "still", "gone", "refusal"):
                return False
            denied = True
        elif part.has(*_SAID):
            return False
    return denied


def _of_a_part(part: Clause) -> bool:
    """Say whether only a part is described: "second gear synchro worn", "rear tyre worn"."""
    if part.has("bad", "gone", "func", "lack", "worse", "better"):
        return False
    return all(v.axis in ("gear", "place", "steer") for c in part.conditions for v in c.values)


def _without_air(part: Clause) -> Clause:
    """P38: in "blows warm when stationary, cold when moving" hot and cold are the air's."""
    kept = [
        item
        for place, item in enumerate(part.items)
        if item.text.lower() not in _AIR
        or (place and part.items[place - 1].text.lower() in ("when", "once", "from", "if", "is"))
    ]
    return Clause(part.intro, kept or part.items)
