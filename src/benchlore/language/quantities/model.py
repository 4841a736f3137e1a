"""A measured value as it stands in a text, and what it can be a measure of."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple


class Dimension(NamedTuple):
    """How values of one kind are compared.

    Attributes:
        base: the unit of `Quantity.low` and `high`.
        floor: values smaller than this are compared by their difference, larger ones by ratio.
        width: a fixed difference at which two values are no longer near, for kinds without a
            zero that means "none"; 0.0: by ratio.
    """

    base: str
    floor: float
    width: float = 0.0


DIMENSIONS: dict[str, Dimension] = {
    # Floors: about the least that a shop's own instrument tells from nothing (common practice).
    "length": Dimension("mm", 0.01),
    "distance": Dimension("km", 0.01),
    "area": Dimension("mm2", 0.1),
    "pressure": Dimension("kPa", 0.5),
    "voltage": Dimension("V", 0.05),
    "current": Dimension("A", 0.01),
    "resistance": Dimension("ohm", 0.1),
    "isolation": Dimension("ohm/V", 1.0),
    "charge": Dimension("Ah", 0.1),
    "power": Dimension("W", 1.0),
    "energy": Dimension("kWh", 0.1),
    "torque": Dimension("N m", 0.5),
    "force": Dimension("N", 1.0),
    "mass": Dimension("g", 1.0),
    "volume": Dimension("l", 0.01),
    "flow": Dimension("l/min", 0.01),
    "mass flow": Dimension("g/s", 0.1),
    "temperature": Dimension("C", 1.0, 20.0),
    "temperature difference": Dimension("K", 5.0),
    "speed": Dimension("km/h", 1.0),
    "rotation": Dimension("rpm", 10.0),
    "frequency": Dimension("Hz", 0.5),
    "angle": Dimension("deg", 0.5),
    "time": Dimension("s", 0.1),
    "fuel use": Dimension("l/100 km", 0.1),
    "ratio": Dimension("%", 10.0),
    "concentration": Dimension("ppm", 10.0),
    "density": Dimension("g/cm3", 0.1, 0.05),
    "smoke": Dimension("1/m", 0.1),
    "sound": Dimension("dB", 1.0, 6.0),
}
"""Dimension -> how it is compared. Hydrometer readings and decibels go by difference as
temperatures do: a twentieth in density is a battery's half charge (TRADE M32), 6 dB is double."""


@dataclass(frozen=True, slots=True)
class Quantity:
    """A measured value or range.

    Attributes:
        dimension: a key of `DIMENSIONS`; "" for a bare number beside a word of
            measurement ("0.14 play"), which has no unit either.
        low, high: its ends in the dimension's base unit, equal for one value; -inf or inf where
            the text leaves an end open ("over 3 bar").
        unit: the unit as this program spells it, "" for a bare number.
        text: the words read, sign words and unit included: `text[start:end]` of what was read.
        start, end: offsets in the text that was read, end excluded.
        step: half of the last place that was written, in the base unit; 0.0 where nothing was
            rounded.
        said: low and high as numbers of `unit`, as written.
    """

    dimension: str
    low: float
    high: float
    unit: str
    text: str
    start: int
    end: int
    step: float = 0.0
    said: tuple[float, float] | None = None

    @property
    def closed(self) -> bool:
        """Say whether both ends are known."""
        return self.low > float("-inf") and self.high < float("inf")
