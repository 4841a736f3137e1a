"""What the search puts first, and why."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from benchlore.index.stored import Filters
from benchlore.search.asked import key_of
from benchlore.search.engine import Engine
from benchlore.search.results import Hit, Question
from shops import ShopFolder


def cases(engine: Engine, text: str, **filters: str) -> list[str]:
    question = Question(text, limit=50, filters=Filters(**filters))
    return [hit.note.case for hit in engine.find(question).cases]


def test_a_case_is_one_result_however_many_passages_hit(demo: Engine) -> None:
    found = cases(demo, "hum from the front wheel bearing rising with road speed")
    assert len(found) == len(set(found)) == 50


def test_articles_are_results_of_their_own_kind(demo: Engine) -> None:
    answer = demo.find(Question("cranks but does not start"))
    assert {hit.note.kind for hit in answer.cases} == {"case"}
    assert {hit.note.kind for hit in answer.articles} == {"article"}
    assert answer.articles[0].note.path == "articles/cranks-but-does-not-start.md"


def test_the_same_question_gets_the_same_answer(demo: Engine) -> None:
    question = Question("judders pulling away when hot")
    assert demo.find(question) == demo.find(question)


def test_passages_name_the_lines_that_say_so(demo: Engine) -> None:
    hit = demo.find(Question("spongy pedal after a long run")).cases[0]
    lines = (demo.index.shop.root / hit.note.path).read_text("utf-8").splitlines()
    for passage in hit.passages:
        said = " ".join(lines[passage.first_line - 1 : passage.last_line])
        words = [word for word in passage.text.split() if word.isalpha() and len(word) > 4]
        assert sum(word in said for word in words) >= 0.9 * len(words)


def test_a_code_outranks_likeness(shop_folder: ShopFolder) -> None:
    for number in range(20):
        shop_folder.write(
            f"kb/like{number}.md", f"# Misfire when cold, worse in rain, no. {number}\n"
        )
    shop_folder.write("kb/code.md", "---\nsymptom: Rough running\ncodes: [P0301]\n---\n")
    shop_folder.build()
    engine = shop_folder.engine()
    assert cases(engine, "misfire when cold, worse in rain p0301")[0] == "code"


def test_an_engine_code_does_not_outrank_the_symptom(shop_folder: ShopFolder) -> None:
    for number in range(6):
        shop_folder.write(
            f"kb/other{number}.md",
            "---\nmachine: {make: Halden, engine: HD22}\n"
            f"symptom: Door lock {number} stiff\n---\n",
        )
    shop_folder.write("kb/hum.md", "---\nsymptom: Hums from the rear above 50\n---\n")
    shop_folder.build()
    assert cases(shop_folder.engine(), "HD22 hums from the rear above 50")[0] == "hum"


def test_a_part_number_is_found_without_likeness(shop_folder: ShopFolder) -> None:
    for number in range(400):
        shop_folder.write(f"kb/{number}.txt", f"Noise {number} from the alternator bearing\n")
    shop_folder.write("kb/number.txt", "Clutch judders.\n\nFitted 6203-2RS to the pump.\n")
    shop_folder.build()
    engine = shop_folder.engine()
    for text in ("6203-2RS", "6203 2rs alternator bearing noise", "62032RS"):
        assert cases(engine, text)[0] == "number"


def test_filters_reach_cases_that_are_far_down_the_list(shop_folder: ShopFolder) -> None:
    for number in range(400):
        shop_folder.write(f"kb/{number}.txt", f"Hum {number} from the rear axle\n")
    shop_folder.write("kb/far.md", "---\nsystem: body\nsymptom: Door will not shut\n---\n")
    shop_folder.build()
    assert cases(shop_folder.engine(), "hum from the rear axle", system="body") == ["far"]


RATTLE = "---\nsymptom: Rattle like a loose tin\nsystem: exhaust\n{}\n---\n"
SMALL_SHOP = {
    "kb/cold.md": RATTLE.format("present: [cold]\nabsent: [hot]"),
    "kb/hot.md": RATTLE.format("present: [hot]\nabsent: [cold]"),
    "kb/value.md": (
        "---\nsymptom: Slow to fire\nsystem: fuel\nchecks:\n"
        "  - {check: rail, value: 2.4 bar, minutes: 20}\n---\n"
        "## What we did\nLeft to stand for 20 min.\n"
    ),
    "kb/door.md": "---\nsymptom: Door will not shut\nsystem: body\n---\n",
    "kb/lock.md": "---\nsymptom: Bonnet catch sticks\nsystem: body\n---\n",
    "articles/floor.md": "---\ntitle: Rattles from below\nsystem: exhaust\n---\nTap the shields.\n",
    "articles/fuel.md": "---\ntitle: Slow to fire\nsystem: fuel\n---\nRead the rail.\n",
}
WORDS_ONLY = f'[model]\nfolder = "none"\nsha256 = "{"0" * 64}"\n'
COLD = "rattle like a loose tin before it has warmed up"
HOT = "rattle like a loose tin once fully warmed up"


def small_shop(folder: ShopFolder, more: dict[str, str] | None = None) -> Engine:
    for path, text in {**SMALL_SHOP, **(more or {})}.items():
        folder.write(path, text)
    folder.build()
    return folder.engine()


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory, exported_model: Path) -> Iterator[Engine]:
    """A shop of five cases and two articles."""
    engine = small_shop(ShopFolder(tmp_path_factory.mktemp("small") / "shop", exported_model))
    yield engine
    engine.index.close()


@pytest.fixture(scope="module")
def small_by_words(
    tmp_path_factory: pytest.TempPathFactory, exported_model: Path
) -> Iterator[Engine]:
    """The same without a sentence model."""
    folder = ShopFolder(tmp_path_factory.mktemp("words") / "shop", exported_model)
    engine = small_shop(folder, {"shop.toml": WORDS_ONLY})
    yield engine
    engine.index.close()


def hits(engine: Engine, text: str, dropped: bool = False) -> dict[str, Hit]:
    """The cases found, best first; with `dropped` no condition of `text` counts."""
    question = Question(text)
    if dropped:
        keys = frozenset(key_of(reading) for reading in engine.find(question).readings)
        question = Question(text, dropped=keys)
    return {hit.note.case: hit for hit in engine.find(question).cases}


@pytest.mark.parametrize(("text", "like", "unlike"), [(COLD, "cold", "hot"), (HOT, "hot", "cold")])
def test_conditions_decide_between_notes_that_share_all_other_words(
    small: Engine, small_by_words: Engine, text: str, like: str, unlike: str
) -> None:
    for engine in (small, small_by_words):
        found = hits(engine, text)
        assert list(found)[:2] == [like, unlike]
        assert found[like].agrees and not found[like].conflicts
        assert found[unlike].conflicts and not found[unlike].agrees
        assert found[like].chance > found[unlike].chance


@pytest.mark.parametrize("text", [COLD, HOT])
def test_a_dropped_reading_counts_no_more(small: Engine, text: str) -> None:
    keys = frozenset(key_of(reading) for reading in small.find(Question(text)).readings)
    assert keys and small.find(Question(text, dropped=keys)).readings == ()
    found, without = hits(small, text), hits(small, text, dropped=True)
    assert not any(hit.agrees or hit.conflicts for hit in without.values())
    apart, apart_without = (
        abs(each["cold"].score - each["hot"].score) for each in (found, without)
    )
    assert apart > apart_without + 0.2


def test_only_the_dropped_reading_is_dropped(small: Engine) -> None:
    text = "rattles when cold, at the front"
    readings = small.find(Question(text)).readings
    assert {reading.axis for reading in readings} == {"temp", "place"}
    (cold,) = (reading for reading in readings if reading.axis == "temp")
    left = small.find(Question(text, dropped=frozenset({key_of(cold)}))).readings
    assert left == tuple(reading for reading in readings if reading is not cold)


@pytest.mark.parametrize(("name", "turned"), [("cold", COLD), ("hot", HOT)])
def test_an_unrelated_note_does_not_change_which_is_first(
    small: Engine, new_shop: Callable[[str], ShopFolder], name: str, turned: str
) -> None:
    more = {"kb/wiper.md": "---\nsymptom: Wiper smears\npresent: [rain]\n---\n"}
    engine = small_shop(new_shop("more"), more)
    before = [case for case in hits(small, turned) if case in ("cold", "hot")]
    after = [case for case in hits(engine, turned) if case in ("cold", "hot")]
    assert before == after and after[0] == name


def test_a_value_in_another_unit_brings_the_note_and_is_a_reason(
    small: Engine, small_by_words: Engine
) -> None:
    found = hits(small_by_words, "only 35 psi there")
    assert list(found) == ["value"]  # no other note is brought by anything
    for engine in (small, small_by_words):
        (match,) = hits(engine, "only 35 psi there")["value"].values
        assert (match.asked, match.stated) == ("35 psi", "2.4 bar")


def test_a_value_far_off_is_no_reason(small_by_words: Engine) -> None:
    assert hits(small_by_words, "only 90 psi there") == {}


def test_a_time_in_the_question_is_no_measured_value(small: Engine) -> None:
    for text in ("slow to fire, took 20 min", "2.4 bar, checked for 20 min"):
        stated = [match.stated for match in hits(small, text)["value"].values]
        assert stated == (["2.4 bar"] if "bar" in text else [])


def test_words_alone_answer_with_a_closeness_too(small_by_words: Engine) -> None:
    near = small_by_words.find(Question("rattle like a loose tin"))
    assert near.words_only and near.closest in ("close", "related")
    assert {hit.note.case for hit in near.cases[:2]} == {"cold", "hot"}
    assert all(0 < hit.chance < 1 and hit.passages for hit in near.cases)
    nothing = small_by_words.find(Question("zzyzx"))
    assert (nothing.cases, nothing.articles, nothing.closest) == ((), (), "none")


def test_what_no_note_treats_is_far(small: Engine) -> None:
    assert small.find(Question("sunroof leaks on the driver")).closest == "far"


@pytest.mark.parametrize("system", ["exhaust", "EXHAUST"])
def test_filters_hold_for_articles_as_well(small: Engine, system: str) -> None:
    answer = small.find(Question("slow to fire", filters=Filters(system=system)))
    assert {hit.note.case for hit in answer.cases} == {"cold", "hot"}
    assert [hit.note.path for hit in answer.articles] == ["articles/floor.md"]
    answer = small.find(Question("slow to fire", filters=Filters(system="none")))
    assert (answer.cases, answer.articles, answer.closest) == ((), (), "none")
