"""Personal data taken out of what is quoted: a job brief may go to another customer.

VINs, telephone numbers, e-mail addresses, UK registration plates and names behind "Mr", "customer"
and the like: common practice, no source. Better a word too many taken out than a name left in.
"""

from __future__ import annotations

import re

TAKEN_OUT = "[taken out]"
_VIN = "[A-HJ-NPR-Z0-9]"
_PATTERNS = (
    re.compile(r"[\w.+-]+@[\w-]+(?:\.[\w-]+)+"),
    re.compile(rf"(?<![A-Z0-9])(?={_VIN}*[0-9])(?={_VIN}*[A-Z]){_VIN}{{17}}(?![A-Z0-9])", re.I),
    re.compile(
        r"(?<![\d.])(?:\+\d{1,3}[ -]?)?(?:\(\d{2,5}\)|0\d{2,4})[ -]?\d{3,4}[ -]?\d{3,4}(?![\d.])"
    ),
    re.compile(r"(?<![\d.])\+\d{1,3}(?:[ -]?\d{2,4}){2,4}(?![\d.])"),
    re.compile(r"(?<![A-Z0-9])[A-Z]{2}[0-9]{2} ?[A-Z]{3}(?![A-Z0-9])"),
)  # fmt: skip
_NAMED = re.compile(
    r"\b((?:Mr|Mrs|Ms|Miss|Dr|Rev)\.?"
    r"|(?:[Cc]ustomer|[Oo]wner|[Dd]river|[Cc]lient|[Ff]armer)(?:'s name)?(?: is| was|:)?)"
    r"( +(?:[A-Z][a-z]+(?:-[A-Z][a-z]+)?)(?: +[A-Z][a-z]+)?)"
)
_NO_NAMES = frozenset("Says Said States Reports Complains Has Had Was Is The A It".split())  # noqa: SIM905


def without_personal_data(text: str) -> str:
    """Return `text` with what may name or reach a person replaced by `TAKEN_OUT`."""
    for pattern in _PATTERNS:
        text = pattern.sub(TAKEN_OUT, text)
    return _NAMED.sub(_name, text)


def _name(match: re.Match[str]) -> str:
    if match[2].split()[0] in _NO_NAMES:
        return match[0]
    return f"{match[1]} {TAKEN_OUT}"
