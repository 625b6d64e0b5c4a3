"""Amounts as chefs write them, and exact values as text."""

from fractions import Fraction

from ..quantities import half_away

MASS = (
    [("g", t) for t in ("5", "12.5", "18", "20", "35", "40", "62.5", "75", "80", "100", "120", "135.5")]
    + [("g", t) for t in ("150", "180", "200", "225", "250", "300", "333", "400", "480", "500", "750", "1000")]
    + [("kg", t) for t in ("0.25", "0.4", "1", "1.2", "1.25", "1 1/2", "2", "3/4")]
    + [("oz", t) for t in ("3", "4 1/2", "8", "12", "5.25")]
    + [("lb", t) for t in ("1/2", "1", "1 1/4", "2")]
)
SMALL_MASS = (
    [("g", t) for t in ("0.5", "1.25", "2", "2.5", "3", "4.5", "6", "7.5", "8", "10", "12", "15.5", "1/3")]
    + [("mg", t) for t in ("500", "250", "750.5", "1500", "12.5")]
    + [("oz", t) for t in ("1/4", "1/8", "1/2")]
)
VOLUME = (
    [("mL", t) for t in ("50", "75", "125", "250", "330", "500", "12.5")]
    + [("cL", t) for t in ("5", "12", "25", "37.5")]
    + [("dL", t) for t in ("1", "2 1/2", "5")]
    + [("L", t) for t in ("0.25", "1/2", "1", "1.5")]
    + [("tsp", t) for t in ("1/4", "1/2", "1", "2")]
    + [("tbsp", t) for t in ("1", "1 1/2", "3")]
    + [("floz", t) for t in ("2", "4", "8 1/2")]
    + [("cup", t) for t in ("1/4", "1/3", "2/3", "1", "1 1/3", "2")]
    + [("pt", t) for t in ("1/2", "1")]
    + [("qt", t) for t in ("1/2", "1")]
    + [("gal", t) for t in ("1/8", "1/4")]
    + [("imp-pt", t) for t in ("1/2", "1")]
    + [("imp-floz", t) for t in ("3", "5", "10")]
    + [("imp-gal", t) for t in ("1/16", "1/8")]
)
COUNT = ("1", "2", "3", "4", "6", "12", "1/2", "1 1/2", "2.5")
COMPONENT_COUNT = ("1", "2", "6", "8", "12", "24", "48", "1/2", "2 1/2")
SHARE = ("0.5", "1", "1.8", "2", "2.25", "5", "8", "12.5", "20", "45", "62", "67", "33 1/3", "1/2")

MOST_DIGITS = 15


def pick(rng, table):
    """A quantity from a table of units and numbers."""
    unit, text = rng.choice(table)
    return f"{text} {unit}"


def is_short(value):
    """Whether a ratio is one that a person might still write down."""
    return max(value.numerator, value.denominator) < 10**MOST_DIGITS


def exact_number(value):
    """A positive ratio as a decimal where it ends, else as a fraction."""
    value = Fraction(value)
    for places in range(10):
        if (value * 10**places).denominator == 1:
            digits = str(int(value * 10**places)).rjust(places + 1, "0")
            return f"{digits[:-places]}.{digits[-places:]}" if places else digits
    return f"{value.numerator}/{value.denominator}"


def rounded_to(value, step):
    """A multiple of a step near a value, never 0."""
    step = Fraction(step)
    return max(half_away(value / step), 1) * step


def tidy_grams(rng, value):
    """A mass near `value` as an author would state it."""
    value = Fraction(value)
    if value > 2000 and rng.random() < 0.5:
        return exact_number(rounded_to(value / 1000, "0.05")) + " kg"
    step = "5" if value > 400 else "1" if value > 60 else "0.5" if value > 8 else "0.01"
    return exact_number(rounded_to(value, step)) + " g"
