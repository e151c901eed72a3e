"""The units of the trade, each as an exact ratio to one unit of what it measures."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit.

    Attributes
    ----------
    symbol : str
        How we write it.
    measures : str
        What it measures; only units that measure the same are converted into each other.
    factor : Fraction
        How many of the first unit of its sort make one of it.
    zero : Fraction
        What is added before multiplying: where a temperature scale has its zero.
    names : tuple of str
        Other ways in which people write it.
    """

    symbol: str
    measures: str
    factor: Fraction
    names: tuple[str, ...] = ()
    zero: Fraction = Fraction(0)


INCH = Fraction("0.0254")  # metre, exact since 1959
POUND = Fraction("0.45359237")  # kilogram, exact since 1959
GRAVITY = Fraction("9.80665")  # metre a second squared, exact by convention since 1901
FOOT = 12 * INCH
POUND_FORCE = POUND * GRAVITY  # newton
GALLON_US = 231 * INCH**3  # cubic metre
GALLON_IMPERIAL = Fraction("0.00454609")  # cubic metre


def _unit(
    symbol: str, measures: str, factor: Fraction | int | str, names: str = "", zero: str = "0"
) -> Unit:
    return Unit(symbol, measures, Fraction(factor), tuple(names.split()), Fraction(zero))


UNITS: tuple[Unit, ...] = (
    _unit("m", "length", 1, "metre meter"),
    _unit("mm", "length", "0.001", "millimetre millimeter"),
    _unit("cm", "length", "0.01", "centimetre centimeter"),
    _unit("um", "length", "0.000001", "µm μm micron microns micrometre micrometer"),
    _unit("nm", "length", "0.000000001", "nanometre nanometer"),
    _unit("in", "length", INCH, 'inch inches " ″ ”'),
    _unit("ft", "length", FOOT, "foot feet"),
    _unit("thou", "length", INCH / 1000, "thous"),
    _unit("tenth", "length", INCH / 10000, "tenths"),
    _unit("mm/m", "slope", "0.001"),
    _unit("um/m", "slope", "0.000001", "µm/m μm/m"),
    _unit("in/ft", "slope", INCH / FOOT, '"/ft'),
    _unit("thou/ft", "slope", INCH / 1000 / FOOT),
    _unit("thou/in", "slope", "0.001"),
    _unit("deg", "angle", 1, "° degree degrees"),
    _unit("arcmin", "angle", Fraction(1, 60)),
    _unit("arcsec", "angle", Fraction(1, 3600)),
    _unit("kg", "mass", 1, "kilogram kilograms"),
    _unit("g", "mass", "0.001", "gram grams"),
    _unit("t", "mass", 1000, "tonne tonnes"),
    _unit("lb", "mass", POUND, "lbs pound pounds"),
    _unit("oz", "mass", POUND / 16, "ounce ounces"),
    _unit("N", "force", 1, "newton newtons"),
    _unit("daN", "force", 10),
    _unit("kN", "force", 1000),
    _unit("lbf", "force", POUND_FORCE),
    _unit("kgf", "force", GRAVITY, "kp"),
    _unit("Nm", "torque", 1, "N·m N.m N*m"),
    _unit("lbf.ft", "torque", POUND_FORCE * FOOT, "lbf·ft ft·lbf ft.lbf ft-lbf lbf-ft"),
    _unit("lbf.in", "torque", POUND_FORCE * INCH, "lbf·in in·lbf in.lbf in-lbf lbf-in"),
    _unit("Pa", "pressure", 1),
    _unit("mbar", "pressure", 100, "hPa"),
    _unit("kPa", "pressure", 1000),
    _unit("bar", "pressure", 100000),
    _unit("MPa", "pressure", 1000000),
    _unit("psi", "pressure", POUND_FORCE / INCH**2, "lbf/in2 lbf/in²"),
    _unit("atm", "pressure", 101325),
    _unit("W", "power", 1, "watt watts"),
    _unit("kW", "power", 1000),
    _unit("kVA", "apparent power", 1000),
    _unit("VA", "apparent power", 1),
    _unit("hp_metric", "power", 75 * GRAVITY, "PS pk ch CV"),
    _unit("hp_mechanical", "power", 550 * FOOT * POUND_FORCE),
    _unit("K", "temperature", 1, "kelvin"),
    _unit("°C", "temperature", 1, "C degC ℃ celsius", zero="273.15"),
    _unit("°F", "temperature", Fraction(5, 9), "F degF ℉ fahrenheit", zero="459.67"),
    _unit("V", "voltage", 1, "volt volts"),
    _unit("mV", "voltage", "0.001"),
    _unit("kV", "voltage", 1000),
    _unit("A", "current", 1, "amp amps ampere amperes"),
    _unit("mA", "current", "0.001"),
    _unit("uA", "current", "0.000001", "µA μA"),
    _unit("kA", "current", 1000),
    _unit("mAh", "charge", "3.6"),
    _unit("Ah", "charge", 3600),
    _unit("ohm", "resistance", 1, "Ω \u2126 ohms"),
    _unit("mohm", "resistance", "0.001", "mΩ m\u2126 milliohm"),
    _unit("kohm", "resistance", 1000, "kΩ k\u2126"),
    _unit("megohm", "resistance", 1000000, "MΩ M\u2126 Mohm megohms"),
    _unit("gigohm", "resistance", 1000000000, "GΩ G\u2126 Gohm"),
    _unit("m3", "volume", 1, "m³"),
    _unit("l", "volume", "0.001", "L litre litres liter liters dm3 dm³"),
    _unit("ml", "volume", "0.000001", "mL cm3 cm³"),
    _unit("ft3", "volume", FOOT**3, "ft³"),
    _unit("gal_us", "volume", GALLON_US),
    _unit("gal_imperial", "volume", GALLON_IMPERIAL),
    _unit("m2", "area", 1, "m²"),
    _unit("mm2", "area", "0.000001", "mm²"),
    _unit("ft2", "area", FOOT**2, "ft²"),
    _unit("m3/h", "flow", Fraction(1, 3600), "m³/h"),
    _unit("l/min", "flow", Fraction(1, 60000), "L/min"),
    _unit("l/s", "flow", "0.001", "L/s"),
    _unit("ft3/min", "flow", FOOT**3 / 60, "ft³/min"),
    _unit("m/min", "speed", Fraction(1, 60)),
    _unit("mm/min", "speed", Fraction(1, 60000)),
    _unit("mm/s", "speed", "0.001"),
    _unit("in/s", "speed", INCH, "ips"),
    _unit("in/min", "speed", INCH / 60, "ipm"),
    _unit("rpm", "rotation", Fraction(1, 60), "1/min min-1 min⁻¹ r/min"),
    _unit("Hz", "rotation", 1, "1/s"),
    _unit("kHz", "rotation", 1000),
    _unit("MHz", "rotation", 1000000),
    _unit("s", "time", 1, "sec second seconds"),
    _unit("min", "time", 60, "minute minutes"),
    _unit("h", "time", 3600, "hr hour hours"),
    _unit("d", "time", 86400, "day days"),
    _unit("%", "share", "0.01"),
    _unit("dB", "level", 1),
    _unit("dBA", "level, A-weighted", 1, "dB(A)"),
)

TWO_MEANINGS: dict[str, tuple[str, ...]] = {
    "hp": ("hp_metric (735.5 W; also PS, pk, ch)", "hp_mechanical (745.7 W)"),
    "HP": ("hp_metric (735.5 W; also PS, pk, ch)", "hp_mechanical (745.7 W)"),
    "ton": ("t (1000 kg)", "lb"),
    "tons": ("t (1000 kg)", "lb"),
    "gal": ("gal_us (3.785 l)", "gal_imperial (4.546 l)"),
    "gallon": ("gal_us (3.785 l)", "gal_imperial (4.546 l)"),
    "mil": ("thou (0.0254 mm)", "mm"),
    "mils": ("thou (0.0254 mm)", "mm"),
    "′": ("ft", "arcmin"),
}

_BY_NAME = {name: unit for unit in UNITS for name in (unit.symbol, *unit.names)}


def find(name: str) -> Unit | None:
    """Find a unit by any of its names.

    Parameters
    ----------
    name : str
        As written; case matters, for mA is not MA.

    Returns
    -------
    Unit or None
        None if nobody here calls a unit so.

    Examples
    --------
    >>> unit = find("µm")
    >>> unit.symbol if unit else None
    'um'
    """
    return _BY_NAME.get(name)
