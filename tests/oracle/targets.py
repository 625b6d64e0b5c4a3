"""What is asked for: pieces, a mass, a factor, batches, or what is on hand."""

from dataclasses import dataclass
from fractions import Fraction

from .errors import Refused
from .onhand import largest_makeable
from .plan import batch_limits, make_plans
from .quantities import expect, figure, number

PLACES = {"pieces": 3, "mass_g": 3, "factor": 6, "batches": 6}


@dataclass(frozen=True, slots=True)
class Target:
    """A demand for the root: `kind` is a key of PLACES, or `on_hand`, whose
    value is a purchased mass of `ingredient`."""

    kind: str
    value: Fraction
    ingredient: str | None = None

    def to_json(self):
        """The target as the commands print it."""
        if self.kind == "on_hand":
            return {"on_hand": {"ingredient": self.ingredient, "mass_g": figure(self.value, 3)}}
        return {self.kind: figure(self.value, PLACES[self.kind])}


def from_json(doc):
    """The target that `to_json` wrote."""
    ((kind, value),) = doc.items()
    if kind == "on_hand":
        return Target(kind, Fraction(value["mass_g"]["exact"]), value["ingredient"])
    return Target(kind, Fraction(value["exact"]))


def from_options(options):
    """The target of parsed command-line options."""
    if options.on_hand is not None:
        ingredient, _, mass = options.on_hand.partition("=")
        return Target("on_hand", expect(mass, "mass"), ingredient)
    if options.mass is not None:
        return Target("mass_g", expect(options.mass, "mass"))
    for kind in ("pieces", "factor", "batches"):
        text = getattr(options, kind)
        if text is not None:
            return Target(kind, number(text))
    raise Refused("no-target", "say how much: pieces, mass, factor, batches or what is on hand")


def _net_of_pieces(written, pieces):
    if written.piece_g is None:
        raise Refused("no-pieces", "the recipe yields no pieces")
    return pieces * written.piece_g


def _net_of_on_hand(book, tree, limits, target):
    root = list(tree.values())[-1].written
    if target.ingredient not in book.ingredients:
        raise Refused("on-hand-not-used", f"`{target.ingredient}` is not used")
    edible = target.value * book.ingredients[target.ingredient].edible_yield
    return largest_makeable(tree, limits, target.ingredient, edible) * (root.piece_g or 1)


def net_mass(book, tree, limits, target):
    """The net grams of the last recipe of a tree that a target asks for."""
    if target.value <= 0:
        raise Refused("bad-target", "a target must be above 0")
    written = list(tree.values())[-1].written
    if target.kind == "pieces":
        return _net_of_pieces(written, target.value)
    if target.kind == "mass_g":
        return target.value
    if target.kind in ("factor", "batches"):
        return target.value * written.net_g
    return _net_of_on_hand(book, tree, limits, target)


def plan_for(book, tree, site, target):
    """The plan that meets a target."""
    limits = batch_limits(tree, site)
    root = list(tree)[-1]
    net = net_mass(book, tree, limits, target)
    return make_plans(tree, limits, {root: net}, {root} if target.kind == "batches" else ())
