"""The parts of the program that need no screen."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from benchlore.errors import BenchloreError
from benchlore.index.links import OUTSIDE, NoteLink, Refused, WebLink, resolve_link, resolve_mention
from benchlore.index.progress import Progress
from benchlore.index.stored import Filters
from benchlore.notes import read_note
from benchlore.tui.build_job import BuildEnd, BuildJob, read_message
from benchlore.tui.document import document_of, find_rows, read_document
from benchlore.tui.idle import Situation, idle_lines
from benchlore.tui.picture import without_outside_fonts
from benchlore.tui.words import (
    Status,
    filter_words,
    matching_choices,
    passage_words,
    progress_words,
    status_words,
)


@pytest.mark.parametrize(
    ("target", "path"),
    [
        ("../../articles/hum.md", "articles/hum.md"),
        ("tyres.md", "kb/2024/tyres.md"),
        ("./a%20b.md#part", "kb/2024/a b.md"),
        ("../2022/t.TXT", "kb/2022/t.TXT"),
    ],
)
def test_links_inside_the_shop(target: str, path: str) -> None:
    assert resolve_link(target, "kb/2024/hum.md") == NoteLink(path)


@pytest.mark.parametrize(
    "target",
    [
        "../../../secret.md",
        "/etc/passwd",
        "//host/x.md",
        "..\\..\\x.md",
        "\\\\host\\x.md",
        "../../index/x.md",
        "../../shop.md",
        "%2e%2e/%2e%2e/%2e%2e/x.md",
        "x%00.md",
    ],
)
def test_b03_links_out_of_the_shop_are_refused(target: str) -> None:
    assert resolve_link(target, "kb/2024/hum.md") == Refused(OUTSIDE)


@pytest.mark.parametrize(
    "target",
    [
        "file:///etc/passwd",
        "javascript:alert(1)",
        "data:text/html,x",
        "C:\\x.md",
        "ftp://x/y.md",
        "http:",
        "https://[",
        "x\u202e.md",
        "htt\tps://x",
        "#top",
        "x.exe",
    ],
)
def test_other_links_are_refused(target: str) -> None:
    assert isinstance(resolve_link(target, "kb/a.md"), Refused)


def test_web_links_keep_their_address() -> None:
    assert resolve_link("HTTPS://x.invalid/[P0301]", "kb/a.md") == WebLink(
        "HTTPS://x.invalid/[P0301]"
    )


def test_mentions_are_case_numbers_or_paths_from_the_shop() -> None:
    assert resolve_mention("2022-0033", "kb/2024/a.md") is None
    assert resolve_mention("articles/hum.md", "kb/2024/a.md") == NoteLink("articles/hum.md")
    assert resolve_mention("../x.md", "kb/2024/a.md") == Refused(OUTSIDE)


def rows_of(text: str, path: str = "kb/a.md") -> list[str]:
    return [row.text for row in document_of(read_note(path, text.encode())).rows]


def test_marks_are_taken_off_and_line_numbers_stay() -> None:
    text = (
        "---\nsymptom: '**x**'\n---\n# Head\n\nA **bold** and *thin*\nword [link](b.md).\n\n- one\n"
    )
    assert rows_of(text) == [
        "---",
        "symptom: '**x**'",
        "---",
        "Head",
        "",
        "A bold and thin",
        "word link.",
        "",
        "- one",
    ]


@pytest.mark.parametrize(
    "text",
    [
        "`a\nb` c\n",
        "<b>x\ny</b>\n",
        "```\n**as typed**\n```\n",
        "[a]: b.md\n",
        "| a | b |\n|---|---|\n| **c** | d |\n",
        "a\0b **c**\n",
        "> " * 200 + "x\n",
        "[" * 3000 + "\n",
    ],
)
def test_what_cannot_be_read_line_by_line_loses_nothing(text: str) -> None:
    kept = "".join(rows_of(text))
    for char in set(text) - set("\n*|"):
        assert kept.count(char) == text.count(char)


def test_plain_text_files_are_shown_as_typed() -> None:
    assert rows_of("# a **b**\n", "kb/a.txt") == ["# a **b**"]


def test_c05_lines_are_counted_as_an_editor_does() -> None:
    assert rows_of("a\r\nb\rc\u2028d\x0ce\n") == ["a", "b", "c\u2028d\x0ce"]


def test_c19_slow_markdown_is_shown_in_time() -> None:
    for text in ("*_" * 130_000, "- a\n" * 60_000, "![" * 20_000, "> " * 30_000, "a" * 260_000):
        started = time.monotonic()
        document_of(read_note("kb/a.md", text.encode()[: 256 * 1024]))
        assert time.monotonic() - started < 20  # a wide margin: the machine may be busy


def test_words_are_found_without_case() -> None:
    document = document_of(read_note("kb/a.md", b"Hum\n\nno\nthe  HUM again\n"))
    assert find_rows(document, "hum") == (1, 4)
    assert find_rows(document, "the hum") == (4,)
    assert find_rows(document, "  ") == ()


def test_b04_a_folder_or_a_pipe_is_no_note(tmp_path: Path) -> None:
    (tmp_path / "kb" / "x.md").mkdir(parents=True)
    (tmp_path / "out.md").symlink_to("/etc/passwd")
    (tmp_path / "kb" / "bin.md").write_bytes(bytes(range(256)) * 8)
    for path in ("kb/x.md", "out.md", "kb/bin.md", "kb/x\0.md", "kb/" + "n" * 300 + ".md"):
        with pytest.raises(BenchloreError):
            read_document(tmp_path, path)


def test_the_status_line_says_what_is_pressing_first() -> None:
    status = Status(
        opening=False,
        notes=40,
        filters="system wheels",
        words_only="no model: word search only",
        need_a_look=7,
    )
    assert status_words(status) == (
        "only: system wheels | no model: word search only"
        " | 7 notes need a look: F4 lists them | 40 notes"
    )
    assert status_words(Status()) == "getting ready ..."


def test_words_for_filters_progress_and_passages() -> None:
    assert filter_words(Filters(system="wheels", since="2023")) == "system wheels, since 2023"
    assert progress_words(Progress("reading notes", 12, 40, 20.4)) == (
        "bringing the index up to date: reading notes: 12 of 40, about 20 s left"
    )
    assert progress_words(Progress("x", 0, 0, 200)).endswith("x, about 3 min left")
    assert passage_words(0, [12, 40], False) == "match 1 of 2, line 12"
    assert passage_words(0, [], True).startswith("changed since")
    assert matching_choices([("wheels", 3), ("brakes", 1)], " WHE") == [("wheels", 3)]


def test_every_situation_says_what_it_is_and_what_to_do() -> None:
    for situation in (
        Situation(),
        Situation(notes=0),
        Situation(notes=5),
        Situation(notes=5, typed=True),
        Situation(notes=5, typed=True, filters="make x"),
        Situation(what="index damaged", building="reading notes"),
        Situation(what="index damaged", todo="benchlore build makes it again"),
    ):
        heading, *rest = idle_lines(situation)
        assert heading and rest
    assert idle_lines(Situation(notes=5, typed=True, waiting=True)) == ("Looking ...",)


@pytest.mark.parametrize(
    "line", ["", "x", "{}", '{"kind": "progress"}', '{"kind": 1}', "[1]", "null"]
)
def test_other_output_of_a_build_is_passed_over(line: str) -> None:
    assert read_message(line) is None


def test_messages_of_a_build_are_read() -> None:
    assert read_message('{"kind": "done", "published": true}') == BuildEnd(published=True)
    assert read_message('{"kind": "progress", "stage": "x"}') == Progress("x")


def test_a_build_stopped_before_it_starts_does_not_start(tmp_path: Path) -> None:
    from benchlore.shop import Shop

    job = BuildJob(Shop(tmp_path, tmp_path / "index"))
    job.stop()
    assert list(job.run()) == [BuildEnd(stopped=True)]


def test_a_build_of_no_shop_ends_with_its_error(tmp_path: Path) -> None:
    from benchlore.shop import Shop

    (end,) = BuildJob(Shop(tmp_path, tmp_path / "index")).run()
    assert isinstance(end, BuildEnd)
    assert end.error == "ShopError" and "neither kb/ nor articles/" in end.what


def test_a_picture_fetches_no_fonts() -> None:
    svg = "<style>\n@font-face {\n src: url(https://x/y.woff2);\n}\n.t { fill: #fff }</style>"
    assert without_outside_fonts(svg) == "<style>\n.t { fill: #fff }</style>"
