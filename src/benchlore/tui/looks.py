"""The two looks: dark for the bay, light for daylight. Words carry the meaning in both."""

from __future__ import annotations

from textual.theme import Theme

DARK = Theme(
    name="bay-dark",
    primary="#4f8f8a",
    secondary="#7a8a99",
    accent="#c9a227",
    warning="#f2b84b",
    error="#e06c5a",
    success="#7fb069",
    foreground="#e8e6e1",
    background="#14181b",
    surface="#1b2125",
    panel="#252d32",
)
LIGHT = Theme(
    name="bay-light",
    primary="#1f5f5b",
    secondary="#55636e",
    accent="#7a5c00",
    warning="#8a4b00",
    error="#a02c1c",
    success="#38651f",
    foreground="#1a1d1f",
    background="#f6f4ee",
    surface="#ece9e1",
    panel="#dedad0",
    dark=False,
)
