"""Values converted to a row's unit, by pint.

pint takes 0.2 s to import and as much again to read its definitions, so it is loaded when the first
value has to be converted: in a row of one unit none has. What a value means is not read here (see
`language/quantities`).
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pint

NAMES = {
    "um": "um", "mm": "mm", "cm": "cm", "m": "m", "thou": "thou", "in": "inch", "ft": "foot",
    "yd": "yard", "miles": "mile", "km": "km", "mm2": "mm**2", "cm2": "cm**2", "in2": "inch**2",
    "psi": "psi", "Pa": "Pa", "hPa": "hPa", "mbar": "mbar", "kPa": "kPa", "bar": "bar",
    "MPa": "MPa", "atm": "atm", "kgf/cm2": "kgf/cm**2", "inHg": "inHg", "mmHg": "mmHg",
    "inH2O": "inch_of_water", "mmH2O": "mm_of_water", "V": "V", "mV": "mV", "kV": "kV", "A": "A",
    "mA": "mA", "uA": "uA", "ohm": "ohm", "kohm": "kohm", "Mohm": "megaohm", "mohm": "milliohm",
    "ohm/V": "ohm/V", "Ah": "A*hour", "mAh": "mA*hour", "W": "W", "kW": "kW", "hp": "hp",
    "PS": "metric_horsepower", "kWh": "kWh", "lbf ft": "lbf*foot", "lbf in": "lbf*inch",
    "N m": "N*m", "kgf m": "kgf*m", "kgf cm": "kgf*cm", "N": "N", "kN": "kN", "lbf": "lbf",
    "kgf": "kgf", "daN": "daN", "mg": "mg", "g": "g", "kg": "kg", "t": "tonne", "ton": "long_ton",
    "lb": "lb", "oz": "oz", "cwt": "UK_hundredweight", "ml": "ml", "cl": "cl", "l": "l",
    "in3": "inch**3", "pt": "imperial_pint", "US pt": "US_pint", "gal": "imperial_gallon",
    "US gal": "US_liquid_gallon", "US qt": "US_liquid_quart", "UK qt": "imperial_quart",
    "fl oz": "imperial_fluid_ounce", "US fl oz": "US_fluid_ounce", "l/min": "l/min",
    "ml/min": "ml/min", "l/h": "l/hour", "gal/h": "imperial_gallon/hour",
    "gal/min": "imperial_gallon/min", "US gal/h": "US_liquid_gallon/hour",
    "US gal/min": "US_liquid_gallon/min", "ft3/min": "ft**3/min", "g/s": "g/s",
    "kg/h": "kg/hour", "lb/min": "lb/min", "mph": "mph", "km/h": "km/hour", "m/s": "m/s",
    "rpm": "rpm", "Hz": "Hz", "kHz": "kHz", "ms": "ms", "s": "s", "min": "min", "h": "hour",
    "days": "day", "weeks": "week", "deg": "degree", "arcmin": "arcminute", "%": "percent",
    "ppm": "ppm", "g/cm3": "g/cm**3", "kg/m3": "kg/m**3", "1/m": "1/m", "C": "degC", "F": "degF",
    "K": "kelvin", "l/100 km": "l_per_100_km", "mpg": "mile/imperial_gallon",
    "US mpg": "mile/US_liquid_gallon", "km/l": "km/l",
}  # fmt: skip
"""A unit as this program spells it -> its name in pint."""

_CONSUMPTION = "l/100 km"


@lru_cache(maxsize=1)
def registry() -> pint.UnitRegistry[Any]:
    """Return pint's registry, with what the trade needs beside it."""
    import pint

    units: pint.UnitRegistry[Any] = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
    units.define("inch_of_water = 2.54 * cmH2O")
    units.define("mm_of_water = 0.1 * cmH2O")
    units.define("l_per_100_km = 0.01 * l / km")
    return units


def converted(number: float, unit: str, wanted: str, difference: bool = False) -> float:
    """Return `number` of `unit` in the unit `wanted`, both as this program spells them.

    With `difference` a temperature is one of two temperatures: 10 °F are 5.56 K. Fuel use and its
    inverse (miles per gallon) convert into each other.

    Raises:
        ValueError: the units are not of one kind, or not known.
    """
    if unit == wanted:
        return number
    units = registry()
    names = [NAMES.get(each, "") for each in (unit, wanted)]
    if not all(names):
        raise ValueError(f"{unit} to {wanted}")
    if difference:
        names = [f"delta_{name}" if name in ("degC", "degF") else name for name in names]
    import pint

    quantity = units.Quantity(number, names[0])
    try:
        if (unit == _CONSUMPTION) != (wanted == _CONSUMPTION):
            quantity = 1 / quantity if number else quantity
        return float(quantity.to(names[1]).magnitude)
    except pint.DimensionalityError as error:
        raise ValueError(f"{unit} to {wanted}") from error
