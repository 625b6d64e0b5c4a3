"""Dough temperature and ice, gelatine, overrun, formulas, blends, eggs.

Temperatures are in degrees Celsius, masses in grams, densities in g/mL, shares parts
of 1. Each published rule names its source and holds within its range alone.
"""

from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

from .errors import Refused
from .quantities import fixed

# From professional baking texts, from memory: melting takes what warms water by 80 °C.
ROUND_MELTING = Fraction(80)
# "A simple calculation (ice)": 334.6 kJ/kg over 4.186 kJ/(kg K).
MEASURED_MELTING = Fraction("334.6") / Fraction("4.186")
MELTING = {"round": ROUND_MELTING, "measured": MEASURED_MELTING}


def positive(value, what="an amount"):
    """An amount above 0."""
    if value <= 0:
        raise Refused("not-above-0", f"{what} must be above 0")
    return value


# Dough temperature: the bowl averages flour, room and water (and a preferment), plus
# friction. Pizza Today, June 2018; course notes on the base temperature.


@dataclass(frozen=True, slots=True)
class Bowl:
    """What meets the water."""

    flour: Fraction
    room: Fraction
    preferment: Fraction | None = None

    @property
    def others(self):
        """All but the water."""
        return [self.flour, self.room] + ([] if self.preferment is None else [self.preferment])

    @property
    def factors(self):
        """How many temperatures are averaged, the water's among them."""
        return len(self.others) + 1

    def water(self, target, friction):
        """target x factors - others - friction, which must be liquid."""
        found = target * self.factors - sum(self.others) - friction
        if not 0 <= found <= 100:
            raise Refused("water-not-liquid", "the water would be ice or steam")
        return found

    def friction(self, dough, water):
        """What a measured dough says of the mixer."""
        return dough * self.factors - sum(self.others) - water


def _cooling(tap, wanted):
    if not 0 <= wanted <= 100 or not 0 <= tap <= 100:
        raise Refused("not-liquid", "water is from 0 to 100 °C")
    if wanted > tap:
        raise Refused("ice-does-not-warm", "ice is asked for where the water must be warmed")
    return tap - wanted


def ice_in_place(water, tap, wanted, melting):
    """Ice and tap water that weigh `water` together: the ice melts and warms to `wanted` by the
    heat that the rest gives off."""
    ice = positive(water) * _cooling(tap, wanted) / (tap + melting)
    return ice, water - ice


def ice_on_top(water, tap, wanted, melting):
    """Ice beside all of the water."""
    return positive(water) * _cooling(tap, wanted) / (wanted + melting), water


# Gelatine. Linear: gelatin conversion factors, sheet weights. Root: gelatin conversion
# table by Bloom. They disagree, so a recipe says which it means.

BLOOMS = {"linear": (125, 265), "root": (60, 260)}
SHEETS = {"bronze": Fraction("3.3"), "silver": Fraction("2.5"), "gold": Fraction(2), "platinum": Fraction("1.7")}


def exchange_gelatine(rule, mass, recipe_bloom, own_bloom):
    """The square of the mass of the own gelatine, in square grams."""
    weakest, strongest = BLOOMS[rule]
    if not all(weakest <= bloom <= strongest for bloom in (recipe_bloom, own_bloom)):
        raise Refused("outside-the-source", f"the {rule} rule is for {weakest} to {strongest} Bloom")
    ratio = recipe_bloom / own_bloom
    return positive(mass) ** 2 * (ratio**2 if rule == "linear" else ratio)


def rational_root(square):
    """The root of a square number; None of any other."""
    top, bottom = isqrt(square.numerator), isqrt(square.denominator)
    return Fraction(top, bottom) if Fraction(top, bottom) ** 2 == square else None


def root_rounded(square, places):
    """The root rounded half away from zero: the whole n whose half-way marks (n - 1/2)^2 and
    (n + 1/2)^2 enclose the square, in units of the last place."""
    units = square * 10 ** (2 * places)
    nearest = isqrt(units.numerator // units.denominator)
    if units >= (nearest + Fraction(1, 2)) ** 2:
        nearest += 1
    return fixed(Fraction(nearest, 10**places), places)


# Overrun: University of Guelph ice cream pages.


def overrun(mix, product):
    """(mix - product) / product for the same measure of both."""
    if positive(product) > positive(mix):
        raise Refused("heavier-than-mix", "air adds no weight")
    return (mix - product) / product


def aerated(mix, share):
    """A mass of one measure, or a density, after the air went in."""
    return positive(mix) / (1 + share)


def before_air(product, share):
    """The mix behind a product."""
    return positive(product) * (1 + share)


# Formulas in baker's percentages.


def percentages(lines):
    """(mass, base) pairs to the base's mass, each line's share of it, and their sum."""
    base = sum(mass for mass, is_base in lines if is_base)
    if base <= 0:
        raise Refused("no-base", "nothing is the 100 %")
    shares = [mass / base for mass, _ in lines]
    return base, shares, sum(shares)


def weights_for_base(shares, base):
    """Each line's mass for a mass of the base."""
    if sum(shares) <= 0:
        raise Refused("no-percentages", "the percentages add up to nothing")
    return [share * positive(base) for share in shares]


def weights_for_total(shares, total):
    """The base and each line's mass for a total."""
    if sum(shares) <= 0:
        raise Refused("no-percentages", "the percentages add up to nothing")
    base = positive(total) / sum(shares)
    return base, [share * base for share in shares]


def hydration(lines):
    """(mass, base, water share) triples: all water over the base."""
    base = sum(mass for mass, is_base, _ in lines if is_base)
    if base <= 0:
        raise Refused("no-base", "nothing is the 100 %")
    return sum(mass * water for mass, _, water in lines) / base


def blend(first, second, target):
    """The parts of two strengths that make a third: their mass and what they hold balance."""
    if not min(first, second) <= target <= max(first, second) or first == second:
        raise Refused("out-of-reach", "a blend lies between its two")
    part = (target - second) / (first - second)
    return part, 1 - part


# Eggs. USDA National Nutrient Database for Standard Reference, release 28, household
# weights of raw egg (01123), white (01124) and yolk (01125): grams without the shell.

EGGS = {"small": 38, "medium": 44, "large": 50, "extra-large": 56, "jumbo": 63}
EGG_PARTS = {"white": 33, "yolk": 17}
# EU egg weight bands, in the shell; that a bound belongs to the class above is from memory.
EGG_CLASSES = [("XL", 73), ("L", 63), ("M", 53), ("S", 0)]


def egg_class(in_shell):
    """The European class of an egg."""
    positive(in_shell)
    return next(name for name, least in EGG_CLASSES if in_shell >= least)
