"""What a recipe says it yields, against what its losses leave."""

from fractions import Fraction

from ..quantities import expect
from ..yields import REFUSE_ABOVE
from . import amounts

EDGES = (Fraction(3, 100), Fraction(-3, 100), Fraction(20, 100), Fraction(-20, 100))


def _unexplained(rng):
    """A part of the mass that no loss explains, and whether to state it exactly."""
    chance = rng.random()
    if chance < 0.12:
        return rng.choice(EDGES), True
    if chance < 0.25:
        return Fraction(0), True
    most = 25 if chance < 0.7 else 160
    return Fraction(rng.randint(-most, most), 1000), False


def _as_mass(rng, grams, exactly):
    if exactly and amounts.is_short(grams):
        return amounts.exact_number(grams) + " g"
    return amounts.tidy_grams(rng, grams)


def _pieces(rng, net):
    """A number of pieces of 5 to 400 g where the batch allows."""
    return max(1, int(net / rng.choice([5, 12, 22, 45, 60, 90, 150, 400])))


def _declared(yields):
    return yields.get("pieces", 1) * expect(yields.get("mass") or yields["piece_mass"], "mass")


def choose_yield(rng, through_g, residue_g):
    """A yield table, or None; `through_g` is the mass after the staged losses."""
    form = rng.choice(["mass"] * 7 + ["pieces with mass"] * 5 + ["pieces"] * 5 + ["none"] * 4)
    unexplained, exactly = _unexplained(rng)
    net = (1 - unexplained) * through_g - residue_g
    if form == "none" or net <= 1:
        return None
    pieces = _pieces(rng, net)
    if form == "pieces":
        return {"pieces": pieces}
    if form == "mass":
        yields = {"mass": _as_mass(rng, net, exactly)}
    else:
        yields = {"pieces": pieces, "piece_mass": _as_mass(rng, net / pieces, exactly)}
    off = abs(1 - (_declared(yields) + residue_g) / through_g)
    return yields if off <= REFUSE_ABOVE else None
