"""Vehicle identification numbers and their check digit.

49 CFR 565.15(c): each character has a value (table III) and each position a weight (table IV); the
sum of the products modulo 11 stands in position nine, X for ten. North American makers must keep to
it, others may: a number that fails is not proved to be none.
"""

from __future__ import annotations

LENGTH = 17
CHECK_POSITION = 8
"""Index of the check digit."""

VALUES: dict[str, int] = {
    **{str(digit): digit for digit in range(10)},
    **dict(zip("ABCDEFGH", range(1, 9), strict=True)),
    **dict(zip("JKLMN", range(1, 6), strict=True)),
    "P": 7,
    "R": 9,
    **dict(zip("STUVWXYZ", range(2, 10), strict=True)),
}
"""Table III of 49 CFR 565.15; I, O and Q are not used."""

WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
"""Table IV."""


def check_digit(vin: str) -> str:
    """Return the check digit that `vin` must have in position nine; "" where it is no VIN."""
    letters = vin.upper()
    if len(letters) != LENGTH or any(letter not in VALUES for letter in letters):
        return ""
    total = sum(VALUES[c] * weight for c, weight in zip(letters, WEIGHTS, strict=True))
    return "0123456789X"[total % 11]


def has_check_digit(vin: str) -> bool:
    """Say whether `vin` is a VIN whose check digit is right, in capitals or not."""
    return len(vin) == LENGTH and check_digit(vin) == vin[CHECK_POSITION].upper()
