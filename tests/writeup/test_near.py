"""Cases that say nearly what a draft says are named before it is saved."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from benchlore.notes.reader import read_note
from benchlore.search.engine import Engine
from benchlore.writeup.near import near_duplicates, question_of, same_machine
from shops import REPOSITORY, ShopFolder
from writeup.drafts import draft

HUM = """
    case: {case}
    machine: {{make: Halden, model: {model}}}
    symptom: Droning hum from the rear that rises with road speed
    present: [above 50 km/h, turning left]
    absent: [standing still]
    causes: [{{part: {part}, fault: worn, certainty: proved}}]
"""


def hum(case: str, model: str = "Carrier 35", part: str = "wheel bearing right rear") -> str:
    return HUM.format(case=case, model=model, part=part)


@pytest.fixture(scope="module")
def engine(new_shop_once: Callable[[], ShopFolder]) -> Engine:
    shop = new_shop_once()
    for case, model, part in (
        ("1", "Carrier 35", "wheel bearing right rear"),
        ("2", "Carrier 28", "rear wheel brg"),
        ("3", "Carrier 35", "propshaft joint"),
        ("4", "Carrier 28", "propshaft joint"),
    ):
        shop.write(f"kb/{case}.md", draft(hum(case, model, part)).text)
    shop.write("kb/5.md", "---\ncase: 5\nmachine: {make: Halden, model: Carrier 35}\n"
               "symptom: Starts badly on cold mornings\n---\n")  # fmt: skip
    shop.build()
    return shop.engine()


def reasons(engine: Engine, front: str, path: str = "kb/new.md") -> dict[str, str]:
    return {n.note.case: n.words for n in near_duplicates(engine, draft(front, path=path))}


def test_same_machine_or_same_cause_with_a_close_symptom_is_near(engine: Engine) -> None:
    found = reasons(engine, hum("9"))
    assert found["1"] == "same machine, same cause, close symptom"
    assert next(iter(found)) == "1"
    assert "5" not in found and "4" not in found


def test_the_same_number_comes_first_and_the_own_file_never(engine: Engine) -> None:
    found = reasons(engine, hum("5"))
    assert next(iter(found.items())) == ("5", "the same job-card number")
    assert "1" not in reasons(engine, hum("1"), path="kb/1.md")


def test_a_draft_that_says_nothing_is_near_to_nothing(engine: Engine) -> None:
    assert reasons(engine, "by: KM") == {}
    assert question_of(draft("present: ['-']")) == ""


def test_no_more_than_wanted(engine: Engine) -> None:
    assert len(near_duplicates(engine, draft(hum("9")), most=1)) == 1


def test_a_copy_of_a_case_of_the_demo_shop_is_near_it(demo: Engine) -> None:
    paths = sorted((REPOSITORY / "kb").rglob("*.md"))[::16]
    seen = 0
    for path in paths:
        data = path.read_bytes()
        own = f"kb/{path.parent.name}/{path.name}"
        copied = read_note("kb/copy.md", data.replace(b"case:", b"case: copy of"))
        found = [near.note.path for near in near_duplicates(demo, copied)]
        seen += own in found
    assert seen >= len(paths) - 1


def test_machines_are_the_same_by_model_and_by_the_engine_both_name() -> None:
    def machine(text: str) -> bool:
        one = draft("machine: {make: Halden, model: Carrier 35, engine: HD-22}").machine
        return same_machine(one, draft(f"machine: {text}").machine)

    assert machine("{make: halden, model: carrier  35, engine: hd22}")
    assert machine("{model: Carrier 35}")
    assert not machine("{make: Brenno, model: Carrier 35}")
    assert not machine("{make: Halden, model: Carrier 35, engine: HD28}")
    assert not machine("{make: Halden}")
