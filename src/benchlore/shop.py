"""A shop folder: where its notes, its index and its settings lie."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from benchlore.errors import NotWritten, ShopError, UsageError

NOTE_FOLDERS = ("kb", "articles")
ATTACHMENT_FOLDER = "-files"
"""How the name of a folder ends that holds a note's own photos and other files, after the note's
name without its ending. What lies in it is no note."""
SETTINGS_FILE = "shop.toml"
MAX_SETTINGS_BYTES = 64 * 1024
FOLLOW_UP_DAYS = 30
MOST_DAYS = 3650

MOST = 1e12
"""More than any amount of money in the settings."""

_NEW_SETTINGS = """\
# Settings of this shop. Every line is optional.
currency = "GBP"
labour_rate = 60        # an hour, in the currency above
# follow_up_days = 30   # a repair that nobody has heard of for longer is due: benchlore due

# Another sentence model than the packaged one:
# [model]
# folder = "../models/our-model"
# sha256 = "..."        # of its model.safetensors; benchlore build prints it when it differs

# Words that only this shop uses:
# [vocabulary]
# words = {"droner" = "hum", "tin worm" = "rust"}     # found as the word behind it
# conditions.temp.cold = ["before its tea"]           # read as that condition
"""

_FIRST_NOTE = """\
---
case: {year}-0001
date: {date}
machine: {{make: "", model: "", year: "", engine: "", odometer: ""}}
symptom: Replace this line with what the customer notices
system: engine
present: []        # when it shows: [cold, above 50 km/h, turning left]
absent: []         # when it does NOT show
checks:
  - check: what was looked at or measured
    value: 0.00 mm
    limit: "<= 0.05 mm"
    limit_from: workshop manual
    minutes: 10
causes:
  - {{part: which part, fault: what was wrong with it, certainty: suspected}}
outcome: {{result: open}}
---
## Complaint

## What we did
"""


@dataclass(frozen=True, slots=True)
class Settings:
    """What shop.toml says; defaults where it says nothing.

    Attributes:
        labour_rate: money an hour, in `currency`; None where the shop gives none.
        follow_up_days: after which a repair that nobody has heard of is due for a call.
        model_folder: another sentence model's folder, absolute; None for the packaged one.
        model_sha256: the SHA-256 that model's weights must have, hexadecimal.
        vocabulary: the shop's own words, checked; `language.vocabulary.of_shop` takes them.
        problems: one line each about what could not be used, file and line first.
    """

    currency: str = ""
    labour_rate: float | None = None
    follow_up_days: int = FOLLOW_UP_DAYS
    model_folder: Path | None = None
    model_sha256: str = ""
    vocabulary: Mapping[str, Any] = field(default_factory=dict, hash=False)
    problems: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Shop:
    """The folders of one shop; both are absolute and resolved."""

    root: Path
    index: Path
    settings: Settings = field(default_factory=Settings)


def find_shop(shop: str | None = None, index: str | None = None) -> Shop:
    """Return the shop folder to work in.

    `shop` and `index` are what the user named; else BENCHLORE_SHOP and BENCHLORE_INDEX; else the
    nearest folder, from the current one upwards, that holds `kb` or `articles`.

    Raises:
        ShopError: there is no such folder.
        UsageError: the index is to lie among the notes, or is named by a link.
    """
    named = shop or os.environ.get("BENCHLORE_SHOP", "")
    if named:
        root = Path(named).expanduser()
        if not root.is_dir():
            raise ShopError(
                f"{named} is not a folder", f"benchlore init {named} starts a shop there"
            )
        if not _is_shop(root):
            raise ShopError(
                f"{named} holds neither kb/ nor articles/",
                f"benchlore init {named} starts a shop there",
            )
    else:
        here = Path.cwd()
        found = next((folder for folder in (here, *here.parents) if _is_shop(folder)), None)
        if found is None:
            raise ShopError(
                "no shop folder here or above",
                "name one with --shop PATH, or start one: benchlore init PATH",
            )
        root = found
    root = root.resolve()
    named_index = index or os.environ.get("BENCHLORE_INDEX", "")
    if named_index and Path(named_index).expanduser().is_symlink():
        raise UsageError(f"--index {named_index} is a link", "name the folder that it leads to")
    index_folder = Path(named_index).expanduser().resolve() if named_index else root / "index"
    for name in NOTE_FOLDERS:
        notes = root / name
        if index_folder == notes or notes in index_folder.parents:
            raise UsageError(f"--index {index_folder} lies among the notes", "name another folder")
    return Shop(root=root, index=index_folder, settings=read_settings(root))


def _is_shop(folder: Path) -> bool:
    return any((folder / name).is_dir() for name in NOTE_FOLDERS)


def read_settings(root: Path) -> Settings:
    """Read shop.toml below `root`; what cannot be used is named in `problems`, never raised."""
    path = root / SETTINGS_FILE
    try:
        with path.open("rb") as file:
            data = file.read(MAX_SETTINGS_BYTES + 1)
    except FileNotFoundError:
        return Settings()
    except OSError as error:
        return Settings(
            problems=(f"{SETTINGS_FILE}:1: not readable ({error.strerror}); defaults used",)
        )
    if len(data) > MAX_SETTINGS_BYTES:
        return Settings(problems=(f"{SETTINGS_FILE}:1: larger than 64 kB; defaults used",))
    try:
        table = tomllib.loads(data.decode("utf-8"))
    except UnicodeDecodeError:
        return Settings(problems=(f"{SETTINGS_FILE}:1: not UTF-8; defaults used",))
    except tomllib.TOMLDecodeError as error:
        return Settings(problems=(f"{SETTINGS_FILE}: {error}; defaults used",))
    except ValueError:  # beyond TOML's own errors: a number of thousands of digits
        return Settings(problems=(f"{SETTINGS_FILE}: a number is too long; defaults used",))
    except RecursionError:
        return Settings(problems=(f"{SETTINGS_FILE}: nested too deep; defaults used",))
    return _settings_from(table, root)


def _settings_from(table: dict[str, object], root: Path) -> Settings:
    problems: list[str] = []

    def wrong(key: str, wanted: str) -> None:
        problems.append(f"{SETTINGS_FILE}: {key} must be {wanted}; the default is used")

    currency = table.get("currency", "")
    if not isinstance(currency, str):
        wrong("currency", "a text such as 'GBP'")
        currency = ""
    rate = table.get("labour_rate")
    if rate is not None and not _is_amount(rate):
        wrong("labour_rate", "a number, 0 or more")
        rate = None
    days = table.get("follow_up_days", FOLLOW_UP_DAYS)
    if isinstance(days, bool) or not isinstance(days, int) or not 0 <= days <= MOST_DAYS:
        wrong("follow_up_days", f"a whole number of days, 0 to {MOST_DAYS}")
        days = FOLLOW_UP_DAYS
    model = table.get("model", {})
    if not isinstance(model, dict):
        wrong("model", "a section [model]")
        model = {}
    folder, sha256 = model.get("folder"), model.get("sha256", "")
    if not isinstance(sha256, str) or not (folder is None or isinstance(folder, str)):
        wrong("model.folder and model.sha256", "texts")
        folder, sha256 = None, ""
    if folder and "\0" in folder:
        wrong("model.folder", "the path of a folder")
        folder = None
    vocabulary: Mapping[str, Any] = {}
    if "vocabulary" in table:
        # Imported here: most shops have no words of their own.
        from benchlore.language.shop_section import checked_section

        vocabulary, unusable = checked_section(table["vocabulary"])
        problems += [f"{SETTINGS_FILE}: {problem}" for problem in unusable]
    return Settings(
        currency=currency,
        labour_rate=float(rate) if isinstance(rate, int | float) else None,
        follow_up_days=days,
        model_folder=(root / folder).resolve() if folder else None,
        model_sha256=sha256.lower(),
        vocabulary=vocabulary,
        problems=tuple(problems),
    )


def _is_amount(value: object) -> bool:
    """Whether it is money that can be reckoned with; `nan` and `inf` are numbers to TOML."""
    return not isinstance(value, bool) and isinstance(value, int | float) and 0 <= value < MOST


def init_shop(path: str, today: str) -> list[Path]:
    """Start a shop folder at `path`; return what was made. Nothing that exists is touched.

    `today` is an ISO date for the first note's template.

    Raises:
        NotWritten: a folder or file could not be made.
    """
    root = Path(path).expanduser()
    made: list[Path] = []
    try:
        for folder in (root, *(root / name for name in NOTE_FOLDERS)):
            if not folder.is_dir():
                folder.mkdir(parents=True)
                made.append(folder)
        for file, text in (
            (root / SETTINGS_FILE, _NEW_SETTINGS),
            (root / "kb" / "first-note.md", _FIRST_NOTE.format(date=today, year=today[:4])),
        ):
            if file.name != SETTINGS_FILE and made and root / "kb" not in made:
                continue
            try:
                with file.open("x", encoding="utf-8") as handle:
                    handle.write(text)
            except FileExistsError:
                continue
            made.append(file)
    except OSError as error:
        raise NotWritten(
            f"{error.filename or path}: {error.strerror}", "choose another folder"
        ) from error
    return made
