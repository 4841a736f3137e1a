"""Look-alike characters in codes and values (row D4 of the reliability table)."""

from __future__ import annotations

import pytest

from benchlore.errors import NEEDS_A_LOOK
from benchlore.language import note_tokens, query_tokens
from benchlore.language.lookalikes import look_alikes
from benchlore.language.quantities import read_quantities
from benchlore.search.results import Question
from shops import ShopFolder

CYRILLIC, FULL_WIDTH = "\u04200301", "\uff30\uff10\uff13\uff10\uff11"


@pytest.mark.parametrize("odd", [CYRILLIC, FULL_WIDTH, "\u03a10301", "P0\u20110301"])
def test_d04_a_code_in_look_alikes_is_the_code(odd: str) -> None:
    meant = "P00301" if "\u2011" in odd else "P0301"
    assert meant in note_tokens(f"stored {odd}")
    assert meant in query_tokens(odd)


@pytest.mark.parametrize(
    ("odd", "plain"),
    [("5 \u2126", "5 \u03a9"), ("3 \u00b5m", "3 \u03bcm"), ("\u22125 \u00b0C", "-5 \u00b0C")],
)
def test_d04_signs_that_look_alike_are_one_in_values(odd: str, plain: str) -> None:
    (one,), (other,) = read_quantities(odd), read_quantities(plain)
    assert (one.dimension, one.low, one.unit) == (other.dimension, other.low, other.unit)


def test_d04_only_codes_are_named_not_words() -> None:
    said = f"{CYRILLIC} and \u0420\u0430\u0441\u0442\u0451\u0440 60 \u00b5m, M12, 10\u00b2"
    assert look_alikes(said) == [(CYRILLIC, "P0301")]


@pytest.mark.parametrize("written", [CYRILLIC, FULL_WIDTH])
def test_d04_found_both_ways_named_and_left_as_written(
    shop_folder: ShopFolder, written: str
) -> None:
    file = shop_folder.write("kb/odd.md", f"---\nsymptom: Hum\ncodes: [{written}]\n---\nBody.\n")
    shop_folder.write("kb/plain.md", "---\nsymptom: Rattle\ncodes: [P0301]\n---\nBody.\n")
    shop_folder.write("kb/other.md", "---\nsymptom: Squeal\n---\nBody.\n")
    before = file.read_bytes()
    done = shop_folder.run("build")
    assert done.returncode == NEEDS_A_LOOK
    told = done.stderr.decode()
    assert f"kb/odd.md:3:9: '{written}' only looks like P0301: U+{ord(written[0]):04X}" in told
    assert file.read_bytes() == before
    engine = shop_folder.engine()
    for asked in (written, "P0301"):
        hits = engine.find(Question(asked)).cases
        assert {hit.note.path for hit in hits if hit.tokens} == {"kb/odd.md", "kb/plain.md"}
        assert hits[-1].note.path == "kb/other.md"
    (odd,) = (hit for hit in hits if hit.note.path == "kb/odd.md")
    assert odd.note.codes[0].text == written


@pytest.mark.parametrize("digits", [40, 400, 5000])
def test_c16_a_number_of_thousands_of_digits_stops_neither_build_nor_search(
    shop_folder: ShopFolder, digits: int
) -> None:
    number = "9" * digits
    shop_folder.write("kb/long.md", f"---\nsymptom: Hums over {number} rpm\n---\nAt {number}.\n")
    shop_folder.write("kb/hum.md", "# Hum from the rear\n")
    assert shop_folder.build().notes == 2
    engine = shop_folder.engine()
    assert len(engine.find(Question("hum")).cases) == 2
    assert engine.find(Question(f"hum over {number}")).cases
    assert engine.find(Question(f"hum above {number} km/h, {number} mm")).cases
