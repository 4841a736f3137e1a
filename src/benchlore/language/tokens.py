"""Exact tokens: trouble codes, engine codes, part numbers and sizes, however they are written.

A token is compared as upper-case letters and digits only, so `HD-22`, `hd22` and `HD 22` are one.
What a *note* must write solidly (or in capitals) a *query* may write loosely: a loose reading in a
query does no harm, because it only counts where some note has that very token.
"""

from __future__ import annotations

import re

MAX_TEXT = 20_000
"""Characters of one text that are looked at; a passage is far shorter."""

MAX_TOKEN = 24

_CODE = re.compile(
    r"(?<![A-Za-z0-9])([PCBU])[ -]?([0-3][0-9A-F]{3})(?:-([0-9A-F]{2}))?(?![A-Za-z0-9])", re.I
)
"""SAE J2012 / ISO 15031-6: system letter, four characters, a failure type byte may follow."""

_HEAVY_CODE = re.compile(
    r"(?<![A-Za-z0-9])SPN[ :]*(\d{1,6})(?:[ ,/]*FMI[ :]*(\d{1,2}))?(?![A-Za-z0-9])", re.I
)
"""SAE J1939-73: suspect parameter number and failure mode identifier."""

_TYRE = re.compile(
    r"(?<![A-Za-z0-9])(\d{3})(?:[ /]+(\d{2}))?[ /-]*(Z?R)[ -]?(\d{2}(?:\.5)?)(?:[ -]?(C))?"
    r"(?![A-Za-z0-9])",
    re.I,
)
"""As in ISO 4000-1, the aspect left out in old sizes; C: of a van (from memory)."""

_SOLID = re.compile(r"(?<![A-Za-z0-9])[A-Za-z0-9]+(?:[-/._][A-Za-z0-9]+)*(?![A-Za-z0-9])")
_SPACED = re.compile(r"(?<![A-Za-z0-9])([A-Za-z]{1,4}) (\d{2,5}[A-Za-z]{0,2})(?![A-Za-z0-9])")
_QUANTITY = re.compile(
    r"""\d+(?:[.,/-]\d+)*
        (?:mm|cm|m|km|kmh|kph|mph|in|ft|thou|um|mil|v|mv|kv|a|ma|ah|w|kw|hp|ps|bar|mbar|psi|kpa|mpa|
        rpm|k|nm|lbft|ftlb|lb|lbs|kg|g|t|l|ml|cc|c|f|deg|degc|degf|s|sec|secs|min|mins|h|hr|hrs|
        hz|khz|ohm|ohms|kohm|r|pc|x|st|nd|rd|th|d|y|yr|yrs|miles|mpg|ltr|pt|qt|gal|ish|s)
        (?:[-/](?:min|h|s|km|m|hr|100km))?""",
    re.I | re.X,
)
_CHUNKS = re.compile(r"[A-Za-z0-9]+(?:[ -][A-Za-z0-9]+)+")
"""Runs that may be one size written apart: `185 R14 C`, `6 PK 1750`."""

_PLURAL = re.compile(r"(?<![A-Za-z0-9])([A-Za-z0-9/.-]*\d[A-Za-z0-9/.-]*)s(?![A-Za-z0-9])")
"""`185R14s`: more than one of them."""

_SEPARATORS = re.compile(r"[-/._ ]")


def _bare(text: str) -> str:
    return _SEPARATORS.sub("", text).upper()


def _shaped(text: str) -> set[str]:
    """Tokens that an open standard gives a shape."""
    found: set[str] = set()
    for letter, item, kind in _CODE.findall(text):
        code = (letter + item).upper()
        found.add(code)
        if kind:
            found.add(code + kind.upper())
    for number, mode in _HEAVY_CODE.findall(text):
        found.add(f"SPN{number}")
        if mode:
            found.add(f"SPN{number}FMI{mode}")
    for width, aspect, radial, rim, van in _TYRE.findall(text):
        size = _bare(f"{width}{aspect}{radial}{rim}")
        found.update((size, size + van.upper()))
    return found


def _solid(text: str) -> set[str]:
    """Runs without a space that mix letters and digits or are long numbers; no quantities."""
    found: set[str] = set()
    for match in _SOLID.finditer(text):
        run = match.group()
        bare = _bare(run)
        if not 2 <= len(bare) <= MAX_TOKEN or not any(c.isdigit() for c in bare):
            continue
        if _QUANTITY.fullmatch(run):
            continue
        mixed = not bare.isdigit()
        if mixed or len(bare) >= 5:
            found.add(bare)
        parts = _SEPARATORS.split(run)
        if mixed and len(parts) > 1:
            found.update(p.upper() for p in parts if len(p) >= 4 and any(c.isdigit() for c in p))
    return found


def _apart(text: str, letters: re.Pattern[str]) -> set[str]:
    """Sizes written apart: two or three neighbours that mix letters and digits when joined.

    Runs of letters among them must match `letters`.
    """
    found: set[str] = set()
    for match in _CHUNKS.finditer(text):
        chunks = re.split("[ -]", match.group())
        for size in (2, 3):
            for place in range(len(chunks) - size + 1):
                window = chunks[place : place + size]
                joined = "".join(window)
                mixed = not joined.isdigit() and sum(map(str.isdigit, joined)) >= 3
                if mixed and len(joined) <= MAX_TOKEN and all(map(letters.fullmatch, window)):
                    found.add(joined.upper())
    return found


_CAPITALS = re.compile(r"[A-Z]{0,2}\d*[A-Z]{0,2}")
_ANY_CASE = re.compile(r"[A-Za-z]{0,3}\d*[A-Za-z]{0,3}")


def _is_name(run: str) -> bool:
    """True for `HD22`; not for a decade, nor for a value with its unit."""
    return any(map(str.isupper, run)) and not _QUANTITY.fullmatch(run)


def is_trouble_code(token: str) -> bool:
    """True for a token in the shape of SAE J2012 / ISO 15031-6 or of SAE J1939-73."""
    return bool(_CODE.fullmatch(token) or token.startswith("SPN"))


def trouble_codes(text: str) -> tuple[tuple[int, int], ...]:
    """Return where `text` states trouble codes in the shape of an open standard, in order.

    (start, end) each, end excluded; a failure type byte or mode belongs to its code.
    """
    found = (*_CODE.finditer(text[:MAX_TEXT]), *_HEAVY_CODE.finditer(text[:MAX_TEXT]))
    return tuple(sorted(match.span() for match in found))


def note_tokens(text: str) -> frozenset[str]:
    """Return the exact tokens that a note's `text` states."""
    text = text[:MAX_TEXT]
    found = _shaped(text) | _solid(text)
    if any(c.islower() for c in text):  # in a line of capitals every word looks like a code
        found.update(_bare(m.group()) for m in _SPACED.finditer(text) if m.group(1).isupper())
        found |= _apart(text, _CAPITALS)
        many = (m.group(1) for m in _PLURAL.finditer(text))
        found.update(_bare(one) for one in many if _is_name(one))
    return frozenset(found)


def query_tokens(text: str) -> frozenset[str]:
    """Return every exact token that a query's `text` may mean; look them up, most are not there."""
    text = text[:MAX_TEXT]
    found = _shaped(text) | _solid(text)
    found.update(_bare(m.group()) for m in _SPACED.finditer(text))
    found |= _apart(text, _ANY_CASE)
    found.update(_bare(m.group(1)) for m in _PLURAL.finditer(text))
    found.update(m.group() for m in re.finditer(r"(?<![A-Za-z0-9.,])\d{4,}(?![A-Za-z0-9.,])", text))
    return frozenset(found)
