"""The vocabulary's compiled form, its version, and a shop's own section."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from benchlore.language import compiled, read_conditions
from benchlore.language.compiling import compile_folder
from benchlore.language.folding import expanded, normal
from benchlore.language.vocabulary import FILES, FOLDER, Vocabulary, of_shop, shipped
from language.sentences import load

TEXTS = [
    sentence
    for name in ("trade_sentences.txt", "workshop_sentences.txt")
    for sentence, _ in load(name)
]
OWN = {
    "words": {"droner": "hum", "tin worm": "rust"},
    "conditions": {"temp": {"cold": ["with the kettle on", "(porridge|tea) time"]}},
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the data files with their compiled form."""
    for name in (*FILES, compiled.FILE):
        shutil.copy(FOLDER / name, tmp_path)
    return tmp_path


def loaded_compiled(folder: Path) -> bool:
    return bool(Vocabulary.load(folder).compiled_tree("phrases"))


def test_the_compiled_form_is_that_of_the_data_files() -> None:
    # Else: python -m benchlore.language.compiling
    assert (FOLDER / compiled.FILE).read_bytes() == compile_folder()


def test_the_compiled_form_is_in_use() -> None:
    assert shipped().compiled_tree("phrases")


def test_compiled_or_not_reads_the_same() -> None:
    slow = Vocabulary.read()
    assert not slow.compiled_tree("phrases")
    assert slow.fingerprint() == shipped().fingerprint()
    assert slow.names == shipped().names
    for text in TEXTS:
        assert read_conditions(text, slow) == read_conditions(text)
        assert normal(text, slow) == normal(text)
        for word in text.split():
            assert expanded(word, slow) == expanded(word)


def test_a_compiled_form_of_other_data_files_is_not_used(folder: Path) -> None:
    assert loaded_compiled(folder)
    with (folder / FILES[0]).open("a", encoding="utf-8") as file:
        file.write('tepid-test = ["lukewarm as tea"]\n')
    assert not loaded_compiled(folder)
    assert Vocabulary.load(folder).section("place")["tepid-test"] == ["lukewarm as tea"]


@pytest.mark.parametrize("place", [0, 70, 200, 5000, -1])
def test_a_damaged_compiled_form_is_not_used(folder: Path, place: int) -> None:
    path = folder / compiled.FILE
    data = bytearray(path.read_bytes())
    data[place] ^= 1
    path.write_bytes(data)
    assert not loaded_compiled(folder)
    assert read_conditions("knocks cold", Vocabulary.load(folder))


@pytest.mark.parametrize("size", [0, 10, 131, 5000])
def test_a_compiled_form_that_was_cut_off_is_not_used(folder: Path, size: int) -> None:
    path = folder / compiled.FILE
    path.write_bytes(path.read_bytes()[:size])
    assert not loaded_compiled(folder)


def test_without_a_compiled_form_the_data_files_are_read(folder: Path) -> None:
    (folder / compiled.FILE).unlink()
    assert read_conditions("knocks cold", Vocabulary.load(folder))


def test_a_folder_without_data_files_is_an_empty_vocabulary(tmp_path: Path) -> None:
    assert Vocabulary.load(tmp_path).names == ()
    assert read_conditions("knocks cold", Vocabulary.load(tmp_path)) == ()


def test_the_fingerprint_is_that_of_what_is_read(folder: Path) -> None:
    known = shipped().fingerprint()
    assert len(known) == 64 and Vocabulary.load(folder).fingerprint() == known
    with (folder / FILES[3]).open("a", encoding="utf-8") as file:
        file.write("# a remark\n")
    assert Vocabulary.load(folder).fingerprint() != known
    assert Vocabulary({"temp": {"cold": ["cold"]}}).fingerprint() != Vocabulary().fingerprint()


def test_a_shops_words_are_in_the_fingerprint() -> None:
    own = of_shop(OWN)
    other = of_shop({"words": {"droner": "whine"}})
    assert len({shipped().fingerprint(), own.fingerprint(), other.fingerprint()}) == 3
    assert own.fingerprint() == Vocabulary.read().with_shop(OWN).fingerprint()


def test_the_vocabulary_of_a_shop_is_made_once() -> None:
    assert of_shop({}) is shipped()
    assert of_shop(OWN) is of_shop({name: dict(part) for name, part in OWN.items()})


def test_a_shops_own_words() -> None:
    own = of_shop(OWN)
    assert normal("a droner from the TIN WORM", own) == "a hum from the rust"
    for text in ("knocks with the kettle on", "knocks porridge time", "knocks cold"):
        assert [(r.axis, r.value) for r in read_conditions(text, own)] == [("temp", "cold")], text
    assert read_conditions("knocks with the kettle on") == ()
    assert normal("a droner") == "a droner"


def test_a_shops_own_words_leave_all_else_as_it_was() -> None:
    slow = Vocabulary.read().with_shop(OWN)
    for text in TEXTS:
        assert read_conditions(text, of_shop(OWN)) == read_conditions(text, slow)
        assert read_conditions(text, of_shop(OWN)) == read_conditions(text)
        assert normal(text, of_shop(OWN)) == normal(text)


def test_a_shops_own_words_are_no_slips_of_others() -> None:
    assert normal("rattel") == "rattle"
    assert normal("rattel", of_shop({"words": {"rattel": "rust"}})) == "rust"


def test_a_shops_head_word_is_folded_as_the_notes_are() -> None:
    assert normal("droning") == "hum"
    assert normal("droner", of_shop({"words": {"droner": "droning"}})) == "hum"


def test_the_sections_of_two_levels_add_up() -> None:
    twice = shipped().with_shop(OWN).with_shop({"conditions": {"temp": {"cold": ["mist cold"]}}})
    assert twice.section("temp")["cold"][-2:] == ["(porridge|tea) time", "mist cold"]
    assert normal("droner", twice) == "hum"


def test_reading_a_query_parses_no_toml_and_loads_no_other_language() -> None:
    program = (
        "import sys\n"
        "from benchlore.language.conditions import read_conditions\n"
        "from benchlore.language.folding import normal\n"
        "assert read_conditions('hums cold') and normal('n/s/f whl brg')\n"
        "print(sorted({'tomllib', 'snowballstemmer', 'yaml', 'click'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=True)
    assert done.stdout.decode().strip() == "[]"
