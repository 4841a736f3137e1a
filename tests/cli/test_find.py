"""`benchlore find`: its answers, its JSON, its filters and exit codes."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from shops import ShopFolder, run_benchlore

HUM = """---
case: 2025-0147
date: 2025-05-14
machine: {make: Halden, model: Carrier 35, year: 2019, engine: HD22, odometer: 142300 km}
symptom: Droning hum from the rear that rises with road speed
system: wheels
present: [above 50 km/h]
checks:
  - check: wheel bearing play
    value: 0.14 mm
    limit: "<= 0.05 mm"
    limit_from: workshop manual
causes:
  - {part: wheel bearing right rear, fault: raceway pitted, certainty: proved}
outcome: {result: fixed, after: 4100 km, comeback: false}
cautions: [new hub nut every time]
---
## Complaint
It drones like an aeroplane.
"""
SQUEAL = """---
case: 2022-0030
date: 2022-01-06
machine: {make: Brenno, model: Pico, engine: BP-12}
symptom: Brakes squeal in the morning
system: brakes
codes: [C0035]
---
"""
ARTICLE = "---\ntitle: Hum with road speed\nsystem: wheels\n---\n\nSwap the tyres first.\n"


@pytest.fixture
def built(shop_folder: ShopFolder) -> ShopFolder:
    shop_folder.write("kb/2025/hum.md", HUM)
    shop_folder.write("kb/2022/squeal.md", SQUEAL)
    shop_folder.write("articles/hum.md", ARTICLE)
    shop_folder.build()
    return shop_folder


def find_json(shop: ShopFolder, *arguments: str) -> dict[str, list[dict[str, object]]]:
    done = shop.run("find", *arguments, "--json")
    assert done.returncode in (0, 1), done.stderr
    answer: dict[str, list[dict[str, object]]] = json.loads(done.stdout)
    assert done.returncode == (answer["closest"] in ("far", "none"))
    return answer


def test_json_has_the_documented_shape(built: ShopFolder) -> None:
    answer = find_json(built, "hums", "at", "50")
    assert answer["query"] == "hums at 50"
    case = answer["cases"][0]
    assert case["file"] == "kb/2025/hum.md"
    assert case["case"] == "2025-0147"
    assert case["symptom"] == "Droning hum from the rear that rises with road speed"
    assert isinstance(case["score"], float)
    assert case["passages"][0] == {
        "first_line": 5,
        "last_line": 7,
        "text": "Droning hum from the rear that rises with road speed. shows above 50 km/h",
    }
    assert case["checks"] == [
        {
            "check": "wheel bearing play",
            "value": "0.14 mm",
            "limit": "<= 0.05 mm",
            "limit_from": "workshop manual",
            "first_line": 9,
            "last_line": 12,
        }
    ]
    assert case["causes"][0]["part"] == "wheel bearing right rear"
    assert case["causes"][0]["certainty"] == "proved"
    assert case["outcome"]["result"] == "fixed"
    assert case["cautions"][0] == "new hub nut every time"
    article = answer["articles"][0]
    assert (article["file"], article["title"]) == ("articles/hum.md", "Hum with road speed")
    assert article["passages"] and isinstance(article["score"], float)


def test_json_says_what_was_read_how_close_it_is_and_why(built: ShopFolder) -> None:
    answer = find_json(built, "hums above 35 mph, 5.5 thou play in the wheel bearing, P0301")
    assert [
        {key: reading[key] for key in ("axis", "value", "polarity", "text")}
        for reading in answer["reading"]
    ] == [{"axis": "speed", "value": ">35 mph", "polarity": "present", "text": "above 35 mph"}]
    case = answer["cases"][0]
    assert answer["closest"] == case["closeness"] == "close"
    assert 0.5 <= case["chance"] <= 1
    assert [
        (each["asked"]["text"], each["stated"]["text"], each["stated"]["polarity"])
        for each in case["agrees"]
    ] == [("above 35 mph", "above 50 km/h", "present")]
    assert case["conflicts"] == []
    assert case["values"] == [{"asked": "5.5 thou", "stated": "0.14 mm"}]
    assert case["parts"] == ["wheel bearing"]
    assert case["tokens"] == []


def test_what_contradicts_is_named_with_the_words_of_both(built: ShopFolder) -> None:
    case = find_json(built, "hum from the rear, none above 50 km/h")["cases"][0]
    conflict = case["conflicts"][0]
    assert conflict["asked"]["polarity"] == "absent" and conflict["stated"]["polarity"] == "present"
    assert conflict["stated"]["text"] == "above 50 km/h"
    said = built.run("find", "hum from the rear, none above 50 km/h").stdout.decode()
    assert "read as:" in said
    assert "against: asked not above 50 km/h, the note says above 50 km/h" in said


def test_nothing_close_is_said_first_and_the_nearest_are_shown(built: ShopFolder) -> None:
    done = built.run("find", "which wine goes with sea bass")
    assert done.returncode == 1
    lines = done.stdout.decode().splitlines()
    assert lines[0] == "nothing close in the notes. The nearest are:"
    assert any(line.endswith("- far") for line in lines)


def test_the_lines_of_a_passage_hold_what_it_says(built: ShopFolder) -> None:
    lines = HUM.splitlines()
    for passage in find_json(built, "drones like an aeroplane")["cases"][0]["passages"]:
        said = "\n".join(lines[passage["first_line"] - 1 : passage["last_line"]])
        assert passage["text"].split()[-1].rstrip(".") in said


def test_a_case_without_outcome_has_null(built: ShopFolder) -> None:
    assert find_json(built, "brakes squeal")["cases"][0]["outcome"] is None


def test_the_same_question_gets_the_same_bytes(built: ShopFolder) -> None:
    runs = {built.run("find", "noise from the back", "--json").stdout for _ in range(3)}
    assert len(runs) == 1


def test_lines_from_standard_input_get_one_object_each(built: ShopFolder) -> None:
    done = built.run("find", "--json", "-", stdin="brakes squeal\n\nhum from the rear\n")
    objects = [json.loads(line) for line in done.stdout.splitlines()]
    assert [each["query"] for each in objects] == ["brakes squeal", "", "hum from the rear"]
    assert objects[0]["cases"][0]["case"] == "2022-0030"
    assert objects[1]["error"] == "type a symptom" and objects[1]["cases"] == []
    assert objects[2]["cases"][0]["case"] == "2025-0147"
    assert done.returncode == 0


def test_n_limits_the_cases(built: ShopFolder) -> None:
    assert len(find_json(built, "noise", "-n", "1")["cases"]) == 1


@pytest.mark.parametrize(
    ("filters", "cases"),
    [
        (["--system", "Wheels"], ["2025-0147"]),
        (["--make", "brenno"], ["2022-0030"]),
        (["--engine", "bp12"], ["2022-0030"]),
        (["--engine", "HD-22"], ["2025-0147"]),
        (["--since", "2023"], ["2025-0147"]),
        (["--since", "2025-05-14"], ["2025-0147"]),
        (["--make", "halden", "--engine", "hd22"], ["2025-0147"]),
    ],
)
def test_filters_narrow_the_cases(built: ShopFolder, filters: list[str], cases: list[str]) -> None:
    answer = find_json(built, "noise in the morning", *filters)
    assert [case["case"] for case in answer["cases"]] == cases


@pytest.mark.parametrize("token", ["C0035", "c0035", "c 0035", "C-0035"])
def test_a_code_is_found_however_it_is_written(built: ShopFolder, token: str) -> None:
    case = find_json(built, f"hum from the rear {token}")["cases"][0]
    assert (case["case"], case["tokens"]) == ("2022-0030", ["C0035"])


def test_readable_results_show_cautions_before_findings(built: ShopFolder) -> None:
    text = built.run("find", "hum from the rear").stdout.decode()
    order = [
        "Lift on the marked points",
        "The maker's instructions, local law",
        "Droning hum from the rear",
        "Halden Carrier 35 2019, HD22, 142300 km, 2025-05-14, case 2025-0147",
        "kb/2025/hum.md:5-7",
        "new hub nut every time",
        "wheel bearing play: 0.14 mm (limit <= 0.05 mm, workshop manual)",
        "wheel bearing right rear: raceway pitted (proved)",
        "fixed, after 4100 km, no comeback",
    ]
    places = [text.index(part) for part in order]
    assert places == sorted(places)
    assert "\x1b" not in text


def test_nothing_found_is_said_and_has_its_exit_code(built: ShopFolder) -> None:
    done = built.run("find", "hum", "--make", "Aldermoor")
    assert done.returncode == 1
    assert done.stdout == b"nothing close in the notes\n"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["find"], b"type a symptom"),
        (["find", "  "], b"type a symptom"),
        (["find", "hum", "--since", "May"], b"write 2023, 2023-06 or 2023-06-30"),
        (["find", "hum", "--since", "2023-13"], b"write 2023, 2023-06 or 2023-06-30"),
        (["find", "hum", "-n", "0"], b"Invalid value for '-n'"),
        (["find", "hum", "--wheels"], b"No such option"),
        (["fnid", "hum"], b"No such command"),
        (["show", "2031-0001"], b"there is no case 2031-0001"),
        (["show", "kb/none.md"], b"there is no note kb/none.md"),
    ],
)
def test_wrong_use_says_what_to_do(built: ShopFolder, arguments: list[str], said: bytes) -> None:
    done = built.run(*arguments)
    assert done.returncode == 2
    assert said in done.stderr
    assert not done.stdout and b"Traceback" not in done.stderr


def test_a_folder_that_is_no_shop_has_its_exit_code(built: ShopFolder) -> None:
    done = run_benchlore("--shop", str(built.root / "index"), "find", "hum")
    assert done.returncode == 4
    assert b"holds neither kb/ nor articles/" in done.stderr and b"benchlore init" in done.stderr


def test_the_environment_names_shop_and_index(built: ShopFolder) -> None:
    named = {"BENCHLORE_SHOP": str(built.root), "BENCHLORE_INDEX": str(built.root / "elsewhere")}
    assert run_benchlore("find", "hum", env=named).returncode == 4
    assert run_benchlore("find", "hum", env={**named, "BENCHLORE_INDEX": ""}).returncode == 0


def test_a_search_loads_neither_torch_nor_textual(built: ShopFolder) -> None:
    program = (
        "import sys\n"
        "from benchlore.cli.main import benchlore\n"
        f"benchlore.main(['--shop', {str(built.root)!r}, 'find', 'hum'], standalone_mode=False)\n"
        "heavy = {'torch', 'textual', 'sentence_transformers', 'transformers'}\n"
        "assert {'onnxruntime', 'numpy', 'benchlore.search.engine'} <= set(sys.modules)\n"
        "sys.exit(len(heavy & set(sys.modules)))\n"
    )
    assert subprocess.run([sys.executable, "-c", program], capture_output=True).returncode == 0
