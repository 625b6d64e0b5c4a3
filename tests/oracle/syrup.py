"""Syrup by its strength, and cooked sugar by its temperature.

A strength is a share of sucrose by mass; 100 times it is degrees Brix. Between two
rows of a table a figure lies on the straight line between them. Outside its rows a
table says nothing.
"""

from fractions import Fraction
from itertools import pairwise

from .errors import Refused


def _rows(text):
    """(left, right) from `left right` pairs."""
    return [tuple(Fraction(n) for n in pair.split()) for pair in text.split(",")]


# Boiling point elevation of sucrose solutions (Brown 1912), tabulated: per cent of
# sucrose and degrees Celsius at sea level.
BOILING = _rows(
    "50 102.0, 52 102.1, 54 102.3, 56 102.4, 58 102.7, 60 103.0, 62 103.4, 64 104.0, 66 104.8, "
    "68 105.6, 70 106.5, 72 107.4, 74 108.4, 76 109.4, 78 110.6, 80 112.0, 82 113.9, 84 116.3, "
    "86 119.3, 88 123.1, 90 127.8"
)
# Sucrose solubility and saturated density by temperature: degrees Celsius and per
# cent of sucrose.
SATURATION = _rows(
    "0 64.18, 10 65.58, 20 67.09, 25 67.89, 30 68.7, 40 70.42, 50 72.25, 60 74.18, 70 76.22, "
    "80 78.36, 90 80.61, 100 82.87"
)
# Sugar stages in "On Food and Cooking", degrees Celsius at sea level.
STAGES = {
    "thread": (102, 113),
    "soft ball": (113, 116),
    "firm ball": (118, 121),
    "hard ball": (121, 130),
    "soft crack": (132, 143),
    "hard crack": (149, 154),
    "light caramel": (170, 170),
    "medium caramel": (180, 182),
    "dark caramel": (188, 190),
}
CENTIMETRES_A_DEGREE = 305 * 100  # same source: 1 °C less for every 305 m
HIGHEST = 10_000 * 12 * Fraction("2.54")  # feet, as far as the tables of boiling by altitude go


def between_rows(rows, value, what):
    """The right column at a value of the left."""
    for (left, right), (next_left, next_right) in pairwise(rows):
        if left <= value <= next_left:
            return right + (value - left) * (next_right - right) / (next_left - left)
    raise Refused("outside-the-source", f"{what} is outside the table")


def _turned(rows):
    return [(right, left) for left, right in rows]


def boiling_point(strength):
    """Degrees Celsius at sea level."""
    return between_rows(BOILING, strength * 100, "the strength")


def boiling_strength(celsius):
    """The strength of a syrup that boils at sea level."""
    return between_rows(_turned(BOILING), celsius, "the temperature") / 100


def saturation(celsius):
    """The strongest syrup at a temperature."""
    return between_rows(SATURATION, celsius, "the temperature") / 100


def saturation_temperature(strength):
    """The temperature below which sugar crystallises."""
    return between_rows(_turned(SATURATION), strength * 100, "the strength")


def checked(strength):
    """A strength from 0 to 100 Brix."""
    if not 0 <= strength <= 1:
        raise Refused("not-a-strength", "a strength is from 0 to 100 Brix")
    return strength


def _mass(value):
    if value <= 0:
        raise Refused("not-above-0", "a mass must be above 0")
    return value


def of(sugar, water):
    """The strength of sugar dissolved in water."""
    return sugar / _mass(sugar + water)


def per_100_of_water(strength):
    """Grams of sugar to 100 g of water; None of dry sugar."""
    return None if checked(strength) == 1 else 100 * strength / (1 - strength)


def mix(parts):
    """(mass, strength) pairs: the sugar of all over the mass of all."""
    return sum(m * checked(s) for m, s in parts) / _mass(sum(m for m, _ in parts))


def bring_to(syrup, start, end):
    """What to add, `water` or `sugar`, and how much: the sugar stays, or the water stays."""
    _mass(syrup), checked(start), checked(end)
    if start > end:
        if end == 0:
            raise Refused("out-of-reach", "no water thins a syrup to 0 Brix")
        return "water", syrup * start / end - syrup
    if start == end:
        return "sugar", Fraction(0)
    if end == 1:
        raise Refused("out-of-reach", "no sugar makes a syrup of 100 Brix")
    return "sugar", syrup * (1 - start) / (1 - end) - syrup


def boil_down(syrup, start, end):
    """Water to boil off, and what is left: the sugar stays."""
    _mass(syrup), checked(start), checked(end)
    if end < start or start == 0:
        raise Refused("out-of-reach", "boiling only strengthens a syrup that has sugar")
    left = syrup * start / end
    return syrup - left, left


def stages(altitude_cm):
    """(name, from, to) of every stage at an altitude."""
    if not 0 <= altitude_cm <= HIGHEST:
        raise Refused("outside-the-source", "the altitude is outside the tables")
    lower = Fraction(altitude_cm) / CENTIMETRES_A_DEGREE
    return [(name, first - lower, last - lower) for name, (first, last) in STAGES.items()]


def stage_at(celsius, altitude_cm):
    """The stages at a temperature, the last that is over and the next to come."""
    all_stages = stages(altitude_cm)
    if not all_stages[0][1] <= celsius <= all_stages[-1][2]:
        raise Refused("outside-the-source", "the temperature is outside the stages")
    at = [name for name, first, last in all_stages if first <= celsius <= last]
    passed = [name for name, _, last in all_stages if last < celsius]
    ahead = [name for name, first, _ in all_stages if first > celsius]
    return at, (passed or [None])[-1], (ahead or [None])[0]
