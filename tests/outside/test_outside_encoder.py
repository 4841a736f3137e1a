"""The exported encoder gives what the sentence model gives."""

from __future__ import annotations

import random

import numpy as np
import numpy.typing as npt
from sentence_transformers import SentenceTransformer

from benchlore.index.encoder import Encoder
from benchlore.search.engine import Engine

SAME = 0.9999

UNUSUAL = (
    "", " ", "\n\t", ".", "?!...---,,;;", "((([[[{{{", "\N{HORIZONTAL ELLIPSIS}", "0", "x",
    "P0301", "12.4..12.8 V", "205/55 R16", "<= 0.05 mm", "LH O/S/R BRG U/S",
    "hum " * 700, "the left rear wheel bearing is rough and hums above 50 km/h. " * 60,
    "a" * 5000, "P0301 " * 300, "\N{WRENCH}" * 400,
    "Dröhnen von hinten, wird mit der Geschwindigkeit lauter, im Leerlauf weg",
    "Bruit de roulement à l'arrière, plus fort en virage à gauche, disparaît à l'arrêt",
    "Ruido al frenar cuesta abajo, ¿solo en caliente? ¡Sí!", "şişe ığüö", "naïve café résumé",
    "Klappert kalt, weg wenn warm; ÄÖÜ äöü ß", "Æbleskiver øre å", "Θόρυβος στο φρενάρισμα",
    "Стук в двигателе на холодную, пропадает после прогрева", "엔진 소음", "เสียงดัง", "מנוע רועש",
    "エンジンが冷えている時だけ異音がする", "发动机冷启动时有敲击声",
    "ضوضاء من المحرك عند البرودة", "इंजन से आवाज़",
    "\N{AUTOMOBILE}\N{DASH SYMBOL}\N{FIRE}",
    "\N{THUMBS UP SIGN}\N{EMOJI MODIFIER FITZPATRICK TYPE-4}",
    "brakes \N{ANGRY FACE} squeal \N{SPEAKER WITH THREE SOUND WAVES} when wet",
    "90 \N{DEGREE SIGN}C", "½ turn, ¾", "\x00\x01\x02", "\x1b[31mred\x1b[0m",
    "zero\N{ZERO WIDTH JOINER}width", "\N{RIGHT-TO-LEFT OVERRIDE}abc",
    "[CLS] [SEP] [PAD] [MASK] [UNK]", "<b>bold</b> & &amp;", "http://example.org/a?b=c#d",
    "\N{LATIN SMALL LIGATURE FI}lter \N{CIRCLED DIGIT ONE}", "e\N{COMBINING ACUTE ACCENT}cole",
)  # fmt: skip


def cosines(
    one: npt.NDArray[np.float32], other: npt.NDArray[np.float32]
) -> npt.NDArray[np.float64]:
    """The cosine of each row of `one` to the same row of `other`, from scratch."""
    a, b = one.astype(np.float64), other.astype(np.float64)
    dots: npt.NDArray[np.float64] = (a * b).sum(axis=1)
    return dots / np.linalg.norm(a, axis=1) / np.linalg.norm(b, axis=1)


def stored_texts(demo: Engine, count: int) -> tuple[list[str], npt.NDArray[np.float32]]:
    """`count` passages of the demo shop, a fixed choice, with their stored vectors."""
    store = demo.index.store
    numbers = [number for piece, _ in store.passage_vectors(0) for number in piece]
    chosen, vectors = store.vectors_of(random.Random(301).sample(numbers, count))
    texts = {passage.number: passage.text for passage in store.passages(chosen)}
    return [texts[number] for number in chosen], vectors


def test_exported_encoder_agrees_with_sentence_transformers_on_200_texts(
    demo: Engine, exported: Encoder, original: SentenceTransformer
) -> None:
    """Source: sentence-transformers' own `encode` with the same weights."""
    ordinary, _ = stored_texts(demo, 200 - len(UNUSUAL))
    texts = [*UNUSUAL, *ordinary]
    pieces = [len(original.tokenizer(text)["input_ids"]) for text in texts]
    assert sum(count > 256 for count in pieces) >= 3, "some must be longer than the model reads"
    found = cosines(exported.encode(texts), original.encode(texts))
    assert len(texts) == 200
    worst = int(found.argmin())
    assert found[worst] >= SAME, f"{found[worst]:.6f}: {texts[worst][:80]!r}"


def test_stored_vectors_agree_with_sentence_transformers(
    demo: Engine, original: SentenceTransformer
) -> None:
    """Source: sentence-transformers' own `encode`; the store rounds to half precision."""
    texts, stored = stored_texts(demo, 200)
    found = cosines(stored, original.encode(texts))
    worst = int(found.argmin())
    assert found[worst] >= SAME, f"{found[worst]:.6f}: {texts[worst][:80]!r}"
