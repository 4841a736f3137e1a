"""What the search puts first, and why."""

from __future__ import annotations

from benchlore.index.store import Filters
from benchlore.search.engine import Engine
from benchlore.search.results import Question
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
