"""Small pictures of photos: right colours, upright, nothing that a hostile file can do."""

from __future__ import annotations

import io
import os
import struct
import subprocess
import sys
import zlib
from pathlib import Path

import pytest
from PIL import Image

from benchlore.keeping.file_kinds import kind_of
from benchlore.keeping.small_images import FORMATS, NotShown, small_image

RED, GREEN, BLUE, YELLOW = (255, 0, 0), (0, 255, 0), (0, 0, 255), (255, 255, 0)
WHITE = (255, 255, 255)


def quarters(width: int = 80, height: int = 48) -> Image.Image:
    """Red and green above blue and yellow."""
    image = Image.new("RGB", (width, height), RED)
    image.paste(GREEN, (width // 2, 0, width, height // 2))
    image.paste(BLUE, (0, height // 2, width // 2, height))
    image.paste(YELLOW, (width // 2, height // 2, width, height))
    return image


def saved(folder: Path, image: Image.Image, name: str, **options: object) -> Path:
    image.save(folder / name, **options)  # type: ignore[arg-type]
    return folder / name


def corners(path: Path, width: int = 40, height: int = 24) -> list[tuple[int, int, int]]:
    """Top left, top right, bottom left, bottom right."""
    rows = small_image(path, width, height).rows
    return [rows[0][0], rows[0][-1], rows[-1][0], rows[-1][-1]]


def near(found: tuple[int, ...], wanted: tuple[int, ...]) -> bool:
    return all(abs(a - b) < 30 for a, b in zip(found, wanted, strict=True))


@pytest.mark.parametrize("name", ["a.png", "a.gif", "a.tif", "a.webp"])
def test_the_colours_are_those_of_the_picture(tmp_path: Path, name: str) -> None:
    options = {"lossless": True} if name == "a.webp" else {}
    path = saved(tmp_path, quarters(), name, **options)
    assert corners(path) == [RED, GREEN, BLUE, YELLOW]
    rows = small_image(path, 40, 24).rows
    assert (len(rows), {len(row) for row in rows}) == (24, {40})


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "L", "LA", "P", "1", "CMYK", "YCbCr"])
def test_every_mode_of_eight_bits_is_shown(tmp_path: Path, mode: str) -> None:
    name = "a.tif" if mode in ("CMYK", "YCbCr") else "a.png"
    found = corners(saved(tmp_path, Image.new("RGB", (90, 60), WHITE).convert(mode), name))
    assert all(near(colour, WHITE) for colour in found)


def test_more_bits_are_refused_rather_than_shown_wrong(tmp_path: Path) -> None:
    with pytest.raises(NotShown, match="more than 8 bits"):
        small_image(saved(tmp_path, Image.new("I;16", (60, 60), 300), "a.png"), 40, 24)


def test_what_is_transparent_is_paper(tmp_path: Path) -> None:
    image = quarters().convert("RGBA")
    image.paste((0, 0, 0, 0), (0, 0, 40, 24))
    assert corners(saved(tmp_path, image, "a.png"))[0] == WHITE


@pytest.mark.parametrize(
    ("size", "small"),
    [((80, 48), (40, 24)), ((4000, 10), (40, 1)), ((10, 4000), (1, 24)), ((5, 3), (5, 3)),
     ((600, 800), (18, 24)), ((1, 1), (1, 1))],
)  # fmt: skip
def test_the_shape_is_kept_and_nothing_is_enlarged(
    tmp_path: Path, size: tuple[int, int], small: tuple[int, int]
) -> None:
    rows = small_image(saved(tmp_path, Image.new("RGB", size), "a.png"), 40, 24).rows
    assert (len(rows[0]), len(rows)) == small


TURNED = {
    1: [RED, GREEN, BLUE, YELLOW],
    2: [GREEN, RED, YELLOW, BLUE],
    3: [YELLOW, BLUE, GREEN, RED],
    4: [BLUE, YELLOW, RED, GREEN],
    5: [RED, BLUE, GREEN, YELLOW],
    6: [BLUE, RED, YELLOW, GREEN],
    7: [YELLOW, GREEN, BLUE, RED],
    8: [GREEN, YELLOW, RED, BLUE],
}
"""Where stored corners are to be seen: worked out by hand from what the eight values of
Orientation in the Exif standard (CIPA DC-008, tag 274) say row 0 and column 0 are."""


@pytest.mark.parametrize("orientation", TURNED)
@pytest.mark.parametrize("name", ["a.jpg", "a.png", "a.tif"])
def test_a_picture_taken_with_the_camera_turned_is_upright(
    tmp_path: Path, orientation: int, name: str
) -> None:
    exif = Image.Exif()
    exif[274] = orientation
    path = saved(tmp_path, quarters(1600, 960), name, exif=exif)
    found = corners(path)
    assert all(map(near, found, TURNED[orientation])), found
    rows = small_image(path, 40, 24).rows
    upright = orientation < 5
    assert (len(rows[0]), len(rows)) == ((40, 24) if upright else (14, 24))


def png_of(width: int, height: int) -> bytes:
    """A PNG that says it is so large, with no more than its first rows."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        body = kind + data
        return struct.pack(">I", len(data)) + body + struct.pack(">I", zlib.crc32(body))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    data = zlib.compress(bytes((width * 3 + 1) * 4))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


@pytest.mark.parametrize(("width", "height"), [(20_000, 20_000), (10_000, 10_000), (50_001, 1000)])
def test_a_picture_of_too_many_pixels_is_not_decoded(
    tmp_path: Path, width: int, height: int
) -> None:
    (tmp_path / "bomb.png").write_bytes(png_of(width, height))
    with pytest.raises(NotShown, match="more pixels than a preview may take"):
        small_image(tmp_path / "bomb.png", 40, 24)


def test_a_whole_bomb_takes_no_memory(tmp_path: Path) -> None:
    """20,000 x 20,000 black pixels are 400 kB in a file and 1.2 GB decoded."""
    data = zlib.compressobj(9)
    row = bytes(20_000 * 3 + 1)
    packed = b"".join(data.compress(row) for _ in range(20_000)) + data.flush()
    whole = png_of(20_000, 20_000)
    at = whole.index(b"IDAT") - 4
    body = b"IDAT" + packed
    idat = struct.pack(">I", len(packed)) + body + struct.pack(">I", zlib.crc32(body))
    (tmp_path / "bomb.png").write_bytes(whole[:at] + idat + whole[-12:])
    program = (
        "import resource, sys\n"
        "from pathlib import Path\n"
        "from benchlore.keeping.small_images import NotShown, small_image\n"
        "try:\n    small_image(Path(sys.argv[1]), 40, 24)\n"
        "except NotShown:\n"
        "    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)\n"
    )
    path = tmp_path / "bomb.png"
    done = subprocess.run([sys.executable, "-c", program, path], capture_output=True, check=True)
    assert int(done.stdout) < 120_000  # kB
    assert done.stderr == b""


@pytest.mark.parametrize("name", ["a.png", "a.jpg", "a.gif", "a.tif", "a.webp"])
def test_a_picture_cut_short_or_damaged_is_told(tmp_path: Path, name: str) -> None:
    noise = Image.effect_noise((300, 200), 90).convert("RGB")
    whole = saved(tmp_path, noise, name).read_bytes()
    for size in (0, 4, 12, 40, len(whole) // 2):
        (tmp_path / name).write_bytes(whole[:size])
        with pytest.raises(NotShown, match="cannot be shown"):
            small_image(tmp_path / name, 40, 24)


@pytest.mark.parametrize("name", ["a.png", "a.jpg", "a.gif", "a.tif", "a.webp"])
def test_random_damage_ends_in_a_picture_or_in_words(tmp_path: Path, name: str) -> None:
    import random

    chance = random.Random(5)
    exif = Image.Exif()
    exif[274] = 6
    options = {} if name == "a.gif" else {"exif": exif}
    whole = saved(tmp_path, quarters(60, 40), name, **options).read_bytes()
    for _ in range(150):
        data = bytearray(whole)
        for _ in range(chance.randint(1, 8)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        (tmp_path / name).write_bytes(data)
        try:
            small_image(tmp_path / name, 40, 24)
        except NotShown as error:
            assert "\n" not in str(error)


@pytest.mark.parametrize("kind", ["BMP", "PPM", "ICO", "EPS", "PCX", "TGA", "SGI", "PDF"])
def test_other_formats_are_not_decoded(tmp_path: Path, kind: str) -> None:
    data = io.BytesIO()
    quarters().save(data, kind)
    (tmp_path / "a.png").write_bytes(data.getvalue())
    with pytest.raises(NotShown):
        small_image(tmp_path / "a.png", 40, 24)


def test_b04_a_pipe_or_a_link_in_a_pictures_place_is_not_read(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.png")
    (tmp_path / "link.png").symlink_to(saved(tmp_path, quarters(), "a.png"))
    for name in ("pipe.png", "link.png", "gone.png"):
        with pytest.raises(NotShown):
            small_image(tmp_path / name, 40, 24)


def test_the_kinds_of_files_that_the_picture_library_writes_are_known(tmp_path: Path) -> None:
    endings = {"JPEG": "jpg", "PNG": "png", "GIF": "gif", "WEBP": "webp", "TIFF": "tif"}
    assert set(endings) == set(FORMATS)
    for kind, ending in endings.items():
        path = saved(tmp_path, quarters(), f"a.{ending}", format=kind)
        assert kind_of(path.name, path.read_bytes()[:4096]) == ("image", "")


def test_the_sound_that_python_writes_is_known(tmp_path: Path) -> None:
    import wave

    with wave.open(str(tmp_path / "a.wav"), "wb") as sound:
        sound.setparams((1, 2, 8000, 0, "NONE", ""))
        sound.writeframes(bytes(800))
    assert kind_of("a.wav", (tmp_path / "a.wav").read_bytes()) == ("sound", "")
