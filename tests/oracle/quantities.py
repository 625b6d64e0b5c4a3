"""Authored numbers and quantities, exact; and the one rounding.

Factors are exact by legal definition: the international pound is
0.45359237 kg, the US gallon 231 in3 with the inch at 25.4 mm, the imperial
gallon 4.54609 L.
"""

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from .errors import Refused

POUND = Fraction("453.59237")
INCH = Fraction("2.54")  # centimetres
US_GALLON = 231 * INCH**3
IMPERIAL_GALLON = Fraction("4546.09")

GRAMS = {
    "mg": Fraction(1, 1000),
    "g": Fraction(1),
    "kg": Fraction(1000),
    "oz": POUND / 16,
    "lb": POUND,
}
MILLILITRES = {
    "mL": Fraction(1),
    "cL": Fraction(10),
    "dL": Fraction(100),
    "L": Fraction(1000),
    "tsp": US_GALLON / 768,
    "tbsp": US_GALLON / 256,
    "floz": US_GALLON / 128,
    "cup": US_GALLON / 16,
    "pt": US_GALLON / 8,
    "qt": US_GALLON / 4,
    "gal": US_GALLON,
    "imp-floz": IMPERIAL_GALLON / 160,
    "imp-pt": IMPERIAL_GALLON / 8,
    "imp-gal": IMPERIAL_GALLON,
}
CENTIMETRES = {
    "mm": Fraction(1, 10),
    "cm": Fraction(1),
    "m": Fraction(100),
    "in": INCH,
}
MINUTES = {
    "s": Fraction(1, 60),
    "min": Fraction(1),
    "h": Fraction(60),
    "d": Fraction(1440),
}
MINOR_UNIT_DIGITS = {"EUR": 2, "GBP": 2, "USD": 2, "JPY": 0}

_NUMBER = re.compile(r"(?:(?:([0-9]+) +)?([0-9]+)/([0-9]+)|([0-9]+(?:\.[0-9]+)?))\Z")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A value in the base unit of its dimension: `mass` in grams, `volume` in
    millilitres, `length` in centimetres, `time` in minutes, `count` in pieces,
    `share` as a part of 1."""

    dimension: str
    value: Fraction


@dataclass(frozen=True, slots=True)
class Money:
    """An amount in a currency."""

    value: Fraction
    currency: str


@lru_cache(maxsize=65536)
def number(text):
    """`250`, `0.5`, `1/2` or `1 1/2`."""
    match = _NUMBER.match(text.strip())
    if not match:
        raise Refused("bad-number", f"`{text}` is not a number such as 250, 0.5 or 1 1/2")
    whole, top, bottom, plain = match.groups()
    if plain is not None:
        return Fraction(plain)
    if int(bottom) == 0:
        raise Refused("bad-number", f"`{text}` divides by zero")
    return Fraction(int(whole or 0)) + Fraction(int(top), int(bottom))


def _split(text):
    """The number and the unit of a quantity; the unit has no space in it."""
    text = text.strip()
    if text.endswith("%"):
        return text[:-1], "%"
    head, _, unit = text.rpartition(" ")
    if not head:
        raise Refused("bad-quantity", f"`{text}` needs a number and a unit")
    return head, unit


@lru_cache(maxsize=65536)
def quantity(text):
    """Any quantity with a unit of mass, volume, length, time, count or share."""
    head, unit = _split(text)
    value = number(head)
    if unit in GRAMS:
        return Quantity("mass", value * GRAMS[unit])
    if unit in MILLILITRES:
        return Quantity("volume", value * MILLILITRES[unit])
    if unit in CENTIMETRES:
        return Quantity("length", value * CENTIMETRES[unit])
    if unit in MINUTES:
        return Quantity("time", value * MINUTES[unit])
    if unit == "pieces":
        return Quantity("count", value)
    if unit == "%":
        return Quantity("share", value / 100)
    raise Refused("bad-unit", f"`{text}`: `{unit}` is not a known unit")


def expect(text, dimension):
    """The value of a quantity that must be of one dimension."""
    found = quantity(text)
    if found.dimension != dimension:
        raise Refused("wrong-dimension", f"`{text}` is a {found.dimension}, not a {dimension}")
    return found.value


@lru_cache(maxsize=4096)
def density(text):
    """Grams per millilitre from a mass per volume, as `1.03 g/mL`."""
    head, unit = _split(text)
    mass, _, volume = unit.partition("/")
    if mass not in GRAMS or volume not in MILLILITRES:
        raise Refused("bad-unit", f"`{text}` is not a density such as 1.03 g/mL")
    return number(head) * GRAMS[mass] / MILLILITRES[volume]


def _degrees(text):
    """A number of degrees, and whether they are Fahrenheit's. Only degrees have a sign."""
    head, unit = _split(text)
    degrees = -number(head[1:]) if head.startswith("-") else number(head)
    if unit in ("°C", "degC"):
        return degrees, False
    if unit in ("°F", "degF"):
        return degrees, True
    raise Refused("bad-unit", f"`{text}` is not a temperature such as 25 °C or 77 °F")


def temperature(text):
    """Degrees Celsius, as `25 °C` or `77 °F`."""
    degrees, fahrenheit = _degrees(text)
    return (degrees - 32) * Fraction(5, 9) if fahrenheit else degrees


def difference(text):
    """A difference of temperatures in degrees Celsius: 9 °F are 5 °C."""
    degrees, fahrenheit = _degrees(text)
    return degrees * Fraction(5, 9) if fahrenheit else degrees


@lru_cache(maxsize=4096)
def money(text):
    """`12.50 EUR`."""
    head, currency = _split(text)
    return Money(number(head), currency)


@lru_cache(maxsize=4096)
def hourly_rate(text):
    """`24.50 EUR/h`."""
    head, unit = _split(text)
    currency, _, per = unit.partition("/")
    if per != "h":
        raise Refused("bad-unit", f"`{text}` is not a rate such as 24.50 EUR/h")
    return Money(number(head), currency)


def minor_digits(currency):
    """Decimals of a currency's minor unit; two where it is not listed."""
    return MINOR_UNIT_DIGITS.get(currency, 2)


def half_away(value):
    """The nearest integer, halves away from zero."""
    top, bottom = abs(value.numerator), value.denominator
    nearest = (2 * top + bottom) // (2 * bottom)
    return nearest if value >= 0 else -nearest


def ceiling(value):
    """The smallest integer that is at least `value`."""
    return -(-value.numerator // value.denominator)


def fixed(value, places):
    """`value` as a decimal with exactly `places` decimals, rounded once."""
    units = half_away(value * 10**places)
    sign = "-" if units < 0 else ""
    digits = str(abs(units)).rjust(places + 1, "0")
    return sign + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)


def figure(value, places):
    """The JSON form of a figure."""
    value = Fraction(value)
    return {"exact": str(value), "rounded": fixed(value, places)}
