"""`benchlore find`: evidence, results so far, the job brief."""

from __future__ import annotations

import json
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from shops import ShopFolder

NOTE = """---
case: 2025-000{number}
date: 2025-05-14
by: KM
machine: {{make: Halden, model: Carrier 35, year: 2019, engine: HD22, odometer: 142300 km}}
symptom: Droning hum from the rear that rises with road speed
system: wheels
present: [above 50 km/h, turning left]
checks:
  - check: wheel bearing play
    value: {value}
    limit: "<= 0.05 mm"
    limit_from: workshop manual
    minutes: 15
  - {{check: tyres swapped front to rear, found: {found}, minutes: 25, {told}}}
causes:
  - {{part: {part}, fault: worn, certainty: proved}}
routes:
  - {{route: new {part}, parts_cost: 85, labour_hours: 2.0, chosen: yes}}
outcome: {{result: fixed, comeback: false}}
cautions: [new hub nut every time]
---
Customer Mr Albert Fenwick, tel 01632 960 123, drives it daily. <b>bold</b>
"""


@pytest.fixture
def built(shop_folder: ShopFolder) -> ShopFolder:
    shop_folder.write("shop.toml", 'currency = "GBP"\nlabour_rate = 60\n')
    for number, (part, value, found, told) in enumerate(
        (
            ("wheel bearing", "0.14 mm", "no change", "rules_out: [tyres]"),
            ("rear wheel brg", "5.5 thou", "no change", "rules_out: [tyres]"),
            ("tyres", "0.03 mm", "noise moved", "points_to: [tyres]"),
        ),
        1,
    ):
        text = NOTE.format(number=number, part=part, value=value, found=found, told=told)
        shop_folder.write(f"kb/hum{number}.md", text)
    shop_folder.build()
    return shop_folder


def run(shop: ShopFolder, *arguments: str) -> str:
    done = shop.run("find", "droning hum from the rear, rises with road speed", *arguments)
    assert done.returncode == 0, done.stderr
    return done.stdout.decode()


def sources_in(value: object, found: list[dict[str, Any]]) -> list[dict[str, Any]]:
    if isinstance(value, dict):
        if {"file", "first_line", "last_line"} <= value.keys():
            found.append(value)
        for item in value.values():
            sources_in(item, found)
    elif isinstance(value, list):
        for item in value:
            sources_in(item, found)
    return found


def test_json_holds_the_evidence_and_its_sources_exist(built: ShopFolder) -> None:
    evidence = json.loads(run(built, "--json"))["evidence"]
    assert evidence["cases"] == 3
    names = {cause["name"]: cause["cases"] for cause in evidence["causes"]}
    assert sorted(names.values()) == [1, 2]
    assert all(written["sources"] for c in evidence["causes"] for written in c["written"])
    found = sources_in(evidence, [])
    assert found
    for source in found:
        lines = (built.root / source["file"]).read_text().splitlines()
        assert 1 <= source["first_line"] <= source["last_line"] <= len(lines)


def test_every_figure_of_the_json_stands_in_its_source_lines(built: ShopFolder) -> None:
    evidence = json.loads(run(built, "--json"))["evidence"]

    def said(source: dict[str, Any]) -> str:
        lines = (built.root / source["file"]).read_text().splitlines()
        return "\n".join(lines[source["first_line"] - 1 : source["last_line"]])

    for row in evidence["findings"]:
        for value in row["values"]:
            assert value["text"] in said(value["sources"][0])
            assert value["limit"] in said(value["sources"][0])
    for cause in evidence["causes"]:
        for written in cause["written"]:
            assert written["part"] in said(written["sources"][0])
    for route in evidence["routes"]:
        assert any("85" in said(source) for source in route["sources"])


def test_the_short_answer_names_cause_and_next_check_after_the_cautions(built: ShopFolder) -> None:
    text = run(built)
    assert (
        text.index("stands under the axle") < text.index("Likeliest:") < text.index("Next check:")
    )


def test_all_of_the_evidence_with_cautions_first(built: ShopFolder) -> None:
    text = run(built, "--evidence")
    for title in (
        "What it turned out to be", "What to check next", "How to make it show",
        "Measured, beside the limits", "What repairs took and cost here",
    ):  # fmt: skip
        assert title in text
    assert text.index("new hub nut every time") < text.index("What it turned out to be")
    assert "5.5 thou = 0.1397 mm" in text and "total 205 GBP" in text
    assert "kb/hum1.md:" in text


def test_a_result_changes_the_causes(built: ShopFolder) -> None:
    before = json.loads(run(built, "--json"))["evidence"]["causes"][0]["name"]
    ok = "tyres swapped front to rear: not ok, noise moved"
    later = json.loads(run(built, "--json", "--found", ok))["evidence"]
    assert before != later["causes"][0]["name"] == "tyres"
    assert later["found"][0]["outcome"] == "not in order"


def test_a_cause_can_be_shown_as_written(built: ShopFolder) -> None:
    evidence = json.loads(run(built, "--json"))["evidence"]
    merged = next(cause["name"] for cause in evidence["causes"] if cause["cases"] == 2)
    apart = json.loads(run(built, "--json", "--apart", merged))["evidence"]
    assert [cause["cases"] for cause in apart["causes"]] == [1, 1, 1]


def test_the_brief_is_one_page_without_names(built: ShopFolder) -> None:
    brief = run(built, "--brief")
    assert brief.startswith("# Job brief\n")
    assert brief.index("Before you start") < brief.index("What it turned out to be")
    for wanted in ("read as", "new hub nut every time", "Source notes", "kb/hum1"):
        assert wanted.casefold() in brief.replace("\\", "").casefold()
    assert "Fenwick" not in brief and "960" not in brief and "KM" not in brief


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.seen: set[str] = set()

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.seen.add(tag)


def test_the_brief_as_html_has_no_scripts_and_no_markup_of_notes(built: ShopFolder) -> None:
    note = Path(built.root / "kb/hum1.md")
    note.write_text(
        note.read_text().replace("part: wheel bearing", "part: '<script>x</script> wheel bearing'")
    )
    built.build()
    page = run(built, "--brief", "--html")
    tags = _Tags()
    tags.feed(page)
    assert page.startswith("<!DOCTYPE html>") and "script" not in tags.seen
    assert not tags.seen & {"img", "link", "a", "iframe"}


def test_brief_and_json_exclude_each_other(built: ShopFolder) -> None:
    done = built.run("find", "hum", "--brief", "--json")
    assert done.returncode == 2 and b"exclude" in done.stderr
