"""Units of measured values, and how shops spell them.

Factors: NIST Special Publication 811 (2008), Appendix B.8 "Factors for Units Listed Alphabetically"
(fuel use and degree Fahrenheit: B.9 as well), to the seven digits printed there; written from
memory and checked against pint in tests/language/test_quantities.py. Inches of mercury and water
are the conventional ones. A UK pint is an eighth, a UK quart a quarter of the UK gallon listed
there; the US pint and quart are the liquid ones; a ton without "metric" is the long one.
"""

from __future__ import annotations

from typing import NamedTuple


class Unit(NamedTuple):
    """A unit as it is shown.

    Attributes:
        dimension: a key of `quantities/model.DIMENSIONS`.
        factor: base units in one of it; for `inverse` the base value is factor / number.
        offset: added to the number before it is multiplied (degree Fahrenheit).
        careful: which words around it must agree before it is a unit, "" for none (see
            `quantities/context`).
    """

    dimension: str
    head: str
    factor: float
    offset: float = 0.0
    inverse: bool = False
    careful: str = ""

    def base(self, number: float) -> float:
        """Return `number` of this unit in the dimension's base unit; an infinity keeps its sign."""
        if self.inverse:
            return self.factor / number if number else float("inf")
        return (number + self.offset) * self.factor


SPELLINGS: dict[str, Unit] = {}
"""Spelling in lower case, words joined by one space -> unit."""

EXACT: dict[str, Unit] = {}
"""Spellings in which a capital letter is another unit: looked up first, as written."""


def _unit(
    dimension: str,
    head: str,
    factor: float,
    spellings: str,
    *,
    offset: float = 0.0,
    inverse: bool = False,
    careful: str = "",
) -> None:
    unit = Unit(dimension, head, factor, offset, inverse, careful)
    for spelling in spellings.split("|"):
        (SPELLINGS if spelling.islower() or spelling == "%" else EXACT)[spelling] = unit


MILE, INCH, LB, UK_GALLON, US_GALLON = 1.609344, 25.4, 453.5924, 4.54609, 3.785412

_unit("length", "um", 0.001, "um|micron|microns|micrometre|micrometres|micrometer|micrometers")
_unit("length", "mm", 1.0, "mm|mms|millimetre|millimetres|millimeter|millimeters")
_unit("length", "cm", 10.0, "cm|cms|centimetre|centimetres|centimeter|centimeters")
_unit("length", "m", 1000.0, "m", careful="letter")
_unit("length", "m", 1000.0, "metre|metres|meter|meters|mtr|mtrs")
_unit("length", "thou", INCH / 1000, "thou", careful="thou")
_unit("length", "thou", INCH / 1000, "mil|mils|thousandths|thousandths of an inch|thou of an inch")
_unit("length", "in", INCH, "inch|inches|ins")
_unit("length", "in", INCH, "in", careful="in")
_unit("length", "in", INCH, "inchmark", careful="inchmark")
_unit("length", "ft", 12 * INCH, "ft|feet")
_unit("length", "ft", 12 * INCH, "foot", careful="foot")
_unit("distance", "yd", 0.0009144, "yard|yards|yd|yds")
_unit("distance", "miles", MILE, "mile|miles|mi")
_unit("distance", "miles", 1000 * MILE, "k miles|thou miles|thousand miles")
_unit("distance", "km", 1.0, "km|kms|kilometre|kilometres|kilometer|kilometers|klick|klicks")
_unit("distance", "km", 1000.0, "k km|thousand km|thousand kilometres|thousand kilometers")
_unit("area", "mm2", 1.0, "mm2|sq mm|sqmm|square mm|square millimetres|square millimeters")
_unit("area", "cm2", 100.0, "cm2|sq cm|sqcm|square cm")
_unit("area", "in2", INCH * INCH, "in2|sq in|sqin|square inch|square inches")

_PSI = "psi|psig|psia|lb/in2|lbs/in2|lb/sq in|lbs/sq in|lb per sq in|lbs per sq in|lbf/in2|p s i"
_PSI += "|pounds per square inch|lb per square inch|lbs per square inch|lb sq in|lbs sq in"
_unit("pressure", "psi", 6.894757, _PSI)
_unit("pressure", "Pa", 0.001, "pa|pascal|pascals")
_unit("pressure", "hPa", 0.1, "hpa")
_unit("pressure", "mbar", 0.1, "mbar|mbars|millibar|millibars|mb")
_unit("pressure", "kPa", 1.0, "kpa|kilopascal|kilopascals")
_unit("pressure", "bar", 100.0, "bar|barg", careful="bar")
_unit("pressure", "bar", 100.0, "bars", careful="bars")
_unit("pressure", "MPa", 1000.0, "mpa|megapascal|megapascals")
_unit("pressure", "atm", 101.325, "atm|atmosphere|atmospheres")
_unit("pressure", "kgf/cm2", 98.0665, "kgf/cm2|kg/cm2|kg per cm2|kg/sq cm|kilos per square cm")
_INHG = "inhg|in hg|inchmark hg|inches hg|inch hg|ins hg|inches of mercury|inches mercury"
_INHG += "|inches of vacuum|inches vacuum|inches vac|in vac|in of vacuum|inchmark vacuum"
_INHG += "|inchmark of vacuum|inchmark vac|inch of vacuum|inches of vac"
_unit("pressure", "inHg", 3.386389, _INHG)
_unit("pressure", "mmHg", 0.1333224, "mmhg|mm hg|mm of mercury|torr")
_INH2O = "inh2o|in h2o|inchmark h2o|inches h2o|inches of water|inch of water|in wg|inwg|in wc|inwc"
_unit("pressure", "inH2O", 0.2490889, _INH2O)
_unit("pressure", "mmH2O", 0.00980665, "mmh2o|mm h2o|mm of water|mmwg|mm wg")

_VOLT = "v|v ac|v dc|volt|volts|volts ac|volts dc"
_unit("voltage", "V", 1.0, "v", careful="v")
_unit("voltage", "V", 1.0, _VOLT.removeprefix("v|"))
_unit("voltage", "V", 1.0, "VAC|VDC|Vac|Vdc")
_unit("voltage", "mV", 0.001, "mv|millivolt|millivolts|mv ac|mv dc|mvolt|mvolts")
_unit("voltage", "kV", 1000.0, "kv|kilovolt|kilovolts")
_unit("current", "A", 1.0, "a", careful="a")
_unit("current", "A", 1.0, "amp|amps|ampere|amperes|a dc|a ac|cca|amps cca")
_unit("current", "mA", 0.001, "ma|milliamp|milliamps|mamp|mamps|milliampere|milliamperes")
_unit("current", "uA", 1e-6, "ua|microamp|microamps")
_unit("resistance", "ohm", 1.0, "ohm|ohms")
_unit("resistance", "ohm", 1.0, "R", careful="attached")
_unit("resistance", "kohm", 1e3, "kohm|kohms|k ohm|k ohms|kilohm|kilohms|kilo ohm|kilo ohms")
_unit("resistance", "kohm", 1e3, "kR", careful="attached")
_unit("resistance", "Mohm", 1e6, "Mohm|Mohms|M ohm|M ohms|MOhm|MOhms|MOHM|MOHMS")
_unit("resistance", "Mohm", 1e6, "megohm|megohms|meg ohm|meg ohms|megaohm|megaohms|meg")
_unit("resistance", "mohm", 1e-3, "mohm|mohms|m ohm|m ohms|milliohm|milliohms|milli ohm|milli ohms")
_unit("isolation", "ohm/V", 1.0, "ohm/v|ohms/v|ohm a volt|ohms a volt|ohm per volt|ohms per volt")
_unit("charge", "Ah", 1.0, "ah|amp hour|amp hours|ampere hours|amphour|amphours")
_unit("charge", "mAh", 0.001, "mah")
_unit("power", "W", 1.0, "w", careful="w")
_unit("power", "W", 1.0, "watt|watts")
_unit("power", "kW", 1000.0, "kw|kilowatt|kilowatts")
_unit("power", "hp", 745.6999, "bhp|horsepower|horse power|brake horsepower")
_unit("power", "hp", 745.6999, "hp", careful="assist")
_unit("power", "PS", 735.4988, "metric horsepower")
_unit("power", "PS", 735.4988, "ps", careful="assist")
_unit("energy", "kWh", 1.0, "kwh|kilowatt hours|kilowatt hour|kw h")

_LBFT = "ft lb|ft lbs|ftlb|ftlbs|ft lbf|ftlbf|lb ft|lbs ft|lbft|lbsft|lbf ft|lbfft|foot pound"
_LBFT += "|foot pounds|foot lb|foot lbs|pound foot|pound feet|pounds feet|lb/ft|lbs/ft|ft/lb|ft/lbs"
_unit("torque", "lbf ft", 1.355818, _LBFT)
_LBIN = "in lb|in lbs|inlb|inlbs|in lbf|lbf in|inch pound|inch pounds|inch lb|inch lbs"
_unit("torque", "lbf in", 0.1129848, _LBIN + "|lbin|pound inch|pound inches")
_unit("torque", "lbf in", 0.1129848, "lb in|lbs in", careful="lb in")
_NM = "n m|nm|newton metre|newton metres|newton meter|newton meters|newtonmetres|n mtr"
_unit("torque", "N m", 1.0, _NM)
_unit("torque", "kgf m", 9.80665, "kgf m|kgm|kg m|kgfm|m kg|mkg")
_unit("torque", "kgf cm", 0.0980665, "kgf cm|kg cm|kgcm")
_unit("force", "N", 1.0, "N", careful="letter")
_unit("force", "N", 1.0, "newton|newtons")
_unit("force", "daN", 10.0, "daN")
_unit("force", "kN", 1000.0, "kn")
_unit("force", "lbf", 4.448222, "lbf|pounds force|pounds of force|lbs of force|lb force")
_unit("force", "kgf", 9.80665, "kgf|kp")
_unit("mass", "mg", 0.001, "mg")
_unit("mass", "g", 1.0, "g", careful="letter")
_unit("mass", "g", 1.0, "gram|grams|gramme|grammes|gm|gms")
_unit("mass", "kg", 1000.0, "kg|kgs|kilo|kilos|kilogram|kilograms|kilogramme|kilogrammes")
_unit("mass", "t", 1e6, "t", careful="letter")
_unit("mass", "t", 1e6, "tonne|tonnes|metric ton|metric tons|te")
_unit("mass", "ton", 1.016047e6, "ton|tons")
_unit("mass", "lb", LB, "lb|lbs", careful="lb")
_unit("mass", "lb", LB, "pound|pounds", careful="pounds")
_unit("mass", "oz", 28.34952, "oz|ounce|ounces")
_unit("mass", "cwt", 50802.35, "cwt|hundredweight")

_unit("volume", "ml", 0.001, "ml|mls|cc|ccs|cm3|millilitre|millilitres|milliliter|milliliters")
_unit("volume", "ml", 0.001, "cu cm|cubic cm|cubic centimetres|cubic centimeters")
_unit("volume", "cl", 0.01, "cl")
_unit("volume", "l", 1.0, "l", careful="l")
_unit("volume", "l", 1.0, "litre|litres|liter|liters|ltr|ltrs|lt|lts|dm3")
_unit("volume", "in3", 0.01638706, "in3|cu in|cubic inch|cubic inches|cuin|cu ins")
_unit("volume", "pt", UK_GALLON / 8, "pint|pints|pt|pts|uk pint|uk pints|imperial pints|imp pint")
_unit("volume", "US pt", US_GALLON / 8, "us pint|us pints|us pt|us pts")
_unit("volume", "gal", UK_GALLON, "gallon|gallons|gal|gals|uk gallon|uk gallons|uk gal|imp gal")
_unit("volume", "US gal", US_GALLON, "us gallon|us gallons|us gal|us gals")
_unit("volume", "US qt", US_GALLON / 4, "us quart|us quarts|us qt|us qts|qt|qts|quart|quarts")
_unit("volume", "UK qt", UK_GALLON / 4, "uk quart|uk quarts|uk qt|imperial quarts")
_unit("volume", "fl oz", 0.02841306, "fl oz|fluid ounce|fluid ounces|uk fl oz")
_unit("volume", "US fl oz", 0.02957353, "us fl oz|us fluid ounces")
_unit("flow", "l/min", 1.0, "l/min|lpm|l per min|litres a minute|litres per minute|litres/min")
_unit("flow", "l/min", 1.0, "l/m|liters per minute|liters a minute|ltr/min|litre a minute")
_unit("flow", "ml/min", 0.001, "ml/min|cc/min|ml per minute|ml a minute|cc a minute|cc per minute")
_unit("flow", "l/h", 1 / 60, "l/hr|lph|litres an hour|litres per hour|litres/hour|l per hour")
_unit("flow", "l/h", 1 / 60, "l/h", careful="l/h")
_unit("flow", "gal/h", UK_GALLON / 60, "gph|gal/h|gal/hr|gallons an hour|gallons per hour")
_unit("flow", "gal/min", UK_GALLON, "gpm|gal/min|gallons a minute|gallons per minute")
_unit("flow", "US gal/h", US_GALLON / 60, "us gph|us gal/h|gph us")
_unit("flow", "US gal/min", US_GALLON, "us gpm|us gal/min|gpm us")
_unit("flow", "ft3/min", 28.31685, "cfm|ft3/min|cu ft/min|cubic feet per minute")
_unit("mass flow", "g/s", 1.0, "g/s|g/sec|gm/s|gm/sec|grams per second|grams a second|g per s")
_unit("mass flow", "kg/h", 1 / 3.6, "kg/h|kg/hr|kg per hour")
_unit("mass flow", "lb/min", 7.559873, "lb/min|lbs/min|pounds per minute")

_C = "degc|deg c|degrees c|degree c|celsius|deg celsius|degrees celsius|degs c|centigrade"
_unit("temperature", "C", 1.0, _C + "|degrees centigrade")
_unit("temperature", "C", 1.0, "c", careful="letter")
_F = "degf|deg f|degrees f|degree f|fahrenheit|deg fahrenheit|degrees fahrenheit|degs f"
_unit("temperature", "F", 1 / 1.8, _F, offset=-32.0)
_unit("temperature", "F", 1 / 1.8, "f", offset=-32.0, careful="letter")
_unit("angle", "deg", 1.0, "deg|degs|degree|degrees", careful="deg")
_unit("angle", "arcmin", 1 / 60, "arcmin|minutes of arc|arc minutes|minute of arc|arcminutes")
_MPH = "mph|miles per hour|miles an hour|mi/h|mile an hour|miles/h|m p h"
_unit("speed", "mph", MILE, _MPH)
_KMH = "km/h|kmh|kph|kmph|km/hr|km per hour|kilometres per hour|kilometers per hour|kms/h|km h"
_unit("speed", "km/h", 1.0, _KMH + "|kilometres an hour|kilometers an hour")
_unit("speed", "m/s", 3.6, "m/s|m/sec|metres per second|meters per second")
_RPM = "rpm|rpms|revs|rev/min|r/min|revs/min|rev min|revs per minute|revs a minute|r p m"
_unit("rotation", "rpm", 1.0, _RPM + "|revolutions per minute|engine rpm|engine revs")
_KRPM = "k rpm|k revs|thou rpm|thou revs|thousand rpm|thousand revs|grand revs|krpm"
_unit("rotation", "rpm", 1000.0, _KRPM)
_unit("frequency", "Hz", 1.0, "hz|hertz|cycles per second|cycles a second")
_unit("frequency", "kHz", 1000.0, "khz|kilohertz")
_unit("time", "ms", 0.001, "ms|msec|msecs|millisecond|milliseconds")
_unit("time", "s", 1.0, "s", careful="s")
_unit("time", "s", 1.0, "sec|secs|second|seconds", careful="second")
_unit("time", "min", 60.0, "min|mins|minute|minutes")
_unit("time", "h", 3600.0, "h", careful="h")
_unit("time", "h", 3600.0, "hr|hrs|hour|hours")
_unit("time", "days", 86_400.0, "day|days")
_unit("time", "weeks", 604_800.0, "week|weeks|wk|wks")
_unit("fuel use", "l/100 km", 1.0, "l/100km|l/100 km|litres per 100 km|litres/100 km")
_MPG = "mpg|mpg uk|uk mpg|miles per gallon|miles to the gallon|miles a gallon|mpg imp"
_unit("fuel use", "mpg", 100 * UK_GALLON / MILE, _MPG, inverse=True)
_unit("fuel use", "US mpg", 100 * US_GALLON / MILE, "us mpg|mpg us", inverse=True)
_unit("fuel use", "km/l", 100.0, "km/l|kmpl|km per litre", inverse=True)
_unit("ratio", "%", 1.0, "%|percent|per cent|pct")
_unit("concentration", "ppm", 1.0, "ppm|parts per million")
_unit("density", "g/cm3", 1.0, "g/cm3|g/cc|g/ml|kg/l|sg|specific gravity")
_unit("density", "kg/m3", 0.001, "kg/m3")
_unit("smoke", "1/m", 1.0, "m-1")
_unit("sound", "dB", 1.0, "db|dba|db a|decibel|decibels")

DIFFERENCE: dict[str, Unit] = {
    "C": Unit("temperature difference", "C", 1.0),
    "F": Unit("temperature difference", "F", 1 / 1.8),
}
"""A temperature's head -> the unit of a difference: no 32 is taken off."""

PSI = SPELLINGS["psi"]
POUND_FEET = SPELLINGS["lb ft"]
CELSIUS = SPELLINGS["celsius"]
SG = SPELLINGS["sg"]

BEGINNINGS = frozenset(
    spelling[:place].lower()
    for spelling in (*SPELLINGS, *EXACT)
    for place, character in enumerate(spelling)
    if character in " /"
)
"""What longer spellings begin with, in lower case, up to any of their words but the last."""
