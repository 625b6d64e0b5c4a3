"""Yield and losses of one written batch (section 4 of the contract)."""

from dataclasses import dataclass
from fractions import Fraction

from .errors import Refused
from .quantities import fixed

WARN_ABOVE = Fraction(3, 100)
REFUSE_ABOVE = Fraction(20, 100)


@dataclass(frozen=True, slots=True)
class Written:
    """One written batch: input that scales and input fixed per batch, the
    effective factor, the residue, and what comes out."""

    scaling_g: Fraction
    fixed_g: Fraction
    factor: Fraction
    residue_g: Fraction
    net_g: Fraction
    pieces: Fraction | None
    piece_g: Fraction | None
    unexplained: Fraction

    @property
    def warns(self):
        """Whether the unexplained loss deserves a warning."""
        return abs(self.unexplained) > WARN_ABOVE


def kept(fractions):
    """The part of the mass that the stages leave."""
    part = Fraction(1)
    for fraction in fractions:
        if fraction >= 1:
            raise Refused("loss-of-all", "a loss of 100 % leaves nothing")
        part *= 1 - fraction
    return part


def declared_net(recipe):
    """The declared net mass of a written batch, if it is a mass."""
    if recipe.yield_mass is not None:
        return recipe.yield_mass
    if recipe.yield_pieces is None:
        return None
    piece = declared_piece(recipe)
    return None if piece is None else recipe.yield_pieces * piece


def declared_piece(recipe):
    """The mass of one piece, if it is stated or follows from a thickness."""
    if recipe.piece_ml is None:
        return recipe.piece_mass
    if recipe.density is None:
        raise Refused("missing-density", f"{recipe.id}: pieces of a thickness, and no density")
    return recipe.piece_ml * recipe.density


def written_batch(recipe, scaling_g, fixed_g):
    """The written batch of a recipe whose line masses are known."""
    if scaling_g == 0:
        raise Refused("nothing-scales", f"{recipe.id}: no line with a mass scales with the batch")
    through = kept(recipe.fractions)
    declared = declared_net(recipe)
    total = scaling_g + fixed_g
    factor = through if declared is None else (declared + recipe.residue) / total
    unexplained = 1 - factor / through
    if abs(unexplained) > REFUSE_ABOVE:
        raise Refused(
            "unexplained-loss",
            f"{recipe.id}: {fixed(unexplained * 100, 1)} % of the mass is not explained by its losses",
        )
    net = factor * total - recipe.residue
    if net <= 0:
        raise Refused("residue-exceeds-batch", f"{recipe.id}: the residue takes the whole batch")
    pieces = recipe.yield_pieces
    return Written(
        scaling_g=scaling_g,
        fixed_g=fixed_g,
        factor=factor,
        residue_g=recipe.residue,
        net_g=net,
        pieces=pieces,
        piece_g=None if pieces is None else net / pieces,
        unexplained=unexplained,
    )
