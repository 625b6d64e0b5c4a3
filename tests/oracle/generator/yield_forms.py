"""What a recipe says it yields, against what its losses leave."""

from fractions import Fraction

from .. import shapes as authored
from ..quantities import expect
from ..yields import REFUSE_ABOVE
from . import amounts, shapes

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


FORMS = ["mass"] * 7 + ["pieces with mass"] * 5 + ["pieces"] * 5 + ["none"] * 4 + ["sheet"] * 4


def _thickness(piece_g, density, area):
    """The thickness of a piece to a tenth of a millimetre."""
    tenths = max(1, round(piece_g / (density * area) * 100))
    return amounts.exact_number(Fraction(tenths, 10)) + " mm"


def _from_sheets(rng, through_g, residue_g, density):
    """A yield from sheets, or None; what the offcut leaves is what pieces are held against."""
    yields, (unexplained, exactly) = shapes.sheet_yield(rng), _unexplained(rng)
    cut = authored.cut(yields)
    through_g *= 1 - cut.offcut
    net = (1 - unexplained) * through_g - residue_g
    each = rng.choice(["mass"] * 3 + ["none"] * 2 + ["thickness"] * 3 * (density is not None))
    if net <= 1 or each == "none":
        return yields if net > 1 else None
    if each == "mass":
        yields["piece_mass"] = _as_mass(rng, net / cut.pieces, exactly)
        declared = cut.pieces * expect(yields["piece_mass"], "mass")
    else:
        yields["thickness"] = _thickness(net / cut.pieces, density, cut.area)
        declared = cut.pieces * authored.cut(yields).piece_ml * density
    off = abs(1 - (declared + residue_g) / through_g)
    return yields if off <= REFUSE_ABOVE else None


def choose_yield(rng, through_g, residue_g, density):
    """A yield table, or None; `through_g` is the mass after the staged losses."""
    form = rng.choice(FORMS)
    if form == "sheet":
        return _from_sheets(rng, through_g, residue_g, density)
    unexplained, exactly = _unexplained(rng)
    net = (1 - unexplained) * through_g - residue_g
    if form == "none" or net <= 1:
        return None
    pieces = _pieces(rng, net)
    outline = rng.choice(shapes.ROUND + shapes.CORNERED) if rng.random() < 0.5 else {}
    if form == "pieces":
        return {"pieces": pieces} | outline
    if form == "mass":
        yields = {"mass": _as_mass(rng, net, exactly)}
    else:
        yields = {"pieces": pieces, "piece_mass": _as_mass(rng, net / pieces, exactly)} | outline
    off = abs(1 - (_declared(yields) + residue_g) / through_g)
    return yields if off <= REFUSE_ABOVE else None
