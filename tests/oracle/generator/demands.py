"""Random targets, and targets that sit on an edge: full batches, exact stock."""

from fractions import Fraction

from ..errors import Refused
from ..plan import batch_limits, ingredient_masses, make_plan
from ..quantities import number
from ..targets import Target
from . import amounts

KINDS = ["pieces", "pieces", "mass_g", "factor", "batches", "on_hand", "on_hand", "full"]
FACTORS = ["1", "2", "0.5", "1/3", "1.5", "2 1/2", "3.48", "10", "0.125", "7/3", "24"]
BATCHES = ["1", "2", "3", "1/2", "2 1/2", "4.2", "12"]


def _factor(rng):
    return Fraction(rng.randint(1, 60), rng.choice([1, 2, 3, 4, 7, 10, 10]))


def _pieces(rng, written):
    if written.pieces is None:
        return None
    if rng.random() < 0.2:
        return Target("pieces", Fraction(rng.randint(1, 400), rng.choice([2, 3, 4, 10])))
    return Target("pieces", Fraction(max(1, int(written.pieces * _factor(rng)))))


def _mass(rng, written):
    net = written.net_g * _factor(rng)
    step = rng.choice(["100", "50", "1", "0.5", "0.001"])
    return Target("mass_g", amounts.rounded_to(net, Fraction(step)))


def _full_batches(rng, tree, site):
    """Exactly full bowls, or a hair more."""
    root = list(tree)[-1]
    net = batch_limits(tree, site)[root].net_g
    if net is None:
        return None
    return Target("mass_g", net * rng.randint(1, 9) + rng.choice([0, 0, Fraction(1, 1000)]))


def _on_hand(rng, book, tree, site):
    """A purchased mass near what a plan needs: equal to it, or a little off."""
    limits, root = batch_limits(tree, site), list(tree)[-1]
    unit = tree[root].written.piece_g or Fraction(1)
    count = max(1, int(tree[root].written.net_g * _factor(rng) / unit))
    try:
        used = ingredient_masses(make_plan(tree, limits, count * unit))
    except Refused:
        return None
    weighed = [i for i, mass in used.items() if mass > 0]
    ingredient = rng.choice(weighed)
    purchased = used[ingredient] / book.ingredients[ingredient].edible_yield
    if rng.random() < 0.3:
        return Target("on_hand", purchased, ingredient)
    near = purchased * Fraction(rng.randint(80, 130), 100)
    return Target("on_hand", amounts.rounded_to(near, rng.choice([100, 10, 1, Fraction(1, 2)])), ingredient)


def random_target(rng, book, tree, site):
    """A target for the root of a tree; None where the kind drawn has none here."""
    kind, written = rng.choice(KINDS), list(tree.values())[-1].written
    if kind == "pieces":
        target = _pieces(rng, written)
    elif kind == "mass_g":
        target = _mass(rng, written)
    elif kind == "on_hand":
        target = _on_hand(rng, book, tree, site)
    elif kind == "full":
        target = _full_batches(rng, tree, site)
    else:
        target = Target(kind, _authored(rng, kind))
    return target if target and amounts.is_short(target.value) else None


def _authored(rng, kind):
    return number(rng.choice(FACTORS if kind == "factor" else BATCHES))
