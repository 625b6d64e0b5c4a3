"""What a plan costs at a site, and what to order for it (section 7)."""

from dataclasses import dataclass
from fractions import Fraction

from .plan import ingredient_masses
from .prices import Offer
from .quantities import ceiling

LABOUR_RATE = "labour_rate"


@dataclass(frozen=True, slots=True)
class IngredientCost:
    """One ingredient of a plan: edible and purchased mass, and its price."""

    ingredient: str
    edible_g: Fraction
    purchased_g: Fraction
    offer: Offer | None

    @property
    def cost(self):
        """The cost as used, or None without a price."""
        return None if self.offer is None else self.purchased_g * self.offer.per_gram


@dataclass(frozen=True, slots=True)
class Order:
    """Whole packs of one ingredient."""

    ingredient: str
    packs: int
    cost: Fraction


@dataclass(frozen=True, slots=True)
class Costing:
    """The cost of a plan. With anything missing, the sums are lower bounds."""

    ingredients: tuple
    orders: tuple
    labour: Fraction
    missing: tuple

    @property
    def food(self):
        return sum((i.cost for i in self.ingredients if i.cost is not None), Fraction(0))

    @property
    def total(self):
        return self.food + self.labour


def ingredient_costs(book, market, masses):
    """One entry per ingredient, by id."""
    return tuple(
        IngredientCost(i, edible, edible / book.ingredients[i].edible_yield, market.offer(i))
        for i, edible in masses.items()
    )


def ordered_mass(book, entry, whole):
    """The purchased mass to order: whole pieces where a line asks for them."""
    item = book.ingredients[entry.ingredient]
    if entry.ingredient not in whole or item.piece_mass is None:
        return entry.purchased_g
    return ceiling(entry.edible_g / item.piece_mass) * item.piece_mass / item.edible_yield


def orders(book, planned, entries):
    """Packs of every ingredient that has a price."""
    whole = {
        line.ingredient
        for item in planned
        for line in item.recipe.lines
        if line.scaling == "whole"
    }
    result = []
    for entry in entries:
        if entry.offer is not None:
            packs = ceiling(ordered_mass(book, entry, whole) / entry.offer.pack_g)
            result.append(Order(entry.ingredient, packs, packs * entry.offer.converted))
    return tuple(result)


def labour_minutes(planned):
    """Hands' minutes over a plan."""
    total = Fraction(0)
    for item in planned:
        times = {"per-batch": item.batches, "per-piece": item.pieces, "with-mass": item.factor}
        for step in item.recipe.steps:
            if step.active:
                total += step.active * times[step.labour]
    return total


def labour_cost(market, planned):
    """The labour of a plan, or None where hands are busy and the site's rate is missing."""
    if labour_minutes(planned) == 0:
        return Fraction(0)
    rate = market.site.labour_rate
    hourly = None if rate is None else market.convert(rate)
    return None if hourly is None else labour_minutes(planned) * hourly / 60


def cost_plan(book, market, planned):
    """The costing of a plan."""
    entries = ingredient_costs(book, market, ingredient_masses(planned))
    labour = labour_cost(market, planned)
    missing = [e.ingredient for e in entries if e.offer is None]
    return Costing(
        ingredients=entries,
        orders=orders(book, planned, entries),
        labour=Fraction(0) if labour is None else labour,
        missing=tuple(missing + ([LABOUR_RATE] if labour is None else [])),
    )


@dataclass(frozen=True, slots=True)
class UnitCost:
    """Standard unit cost: per piece, or per net gram."""

    per: str
    food: Fraction
    complete: bool


def _per_gram(book, market, tree, recipe_id, memo):
    """Food cost of a written batch per net gram, and whether nothing is missing."""
    if recipe_id in memo:
        return memo[recipe_id]
    resolved = tree[recipe_id]
    food, complete = Fraction(0), True
    for line, mass in zip(resolved.recipe.lines, resolved.masses):
        if line.component:
            unit, known = _per_gram(book, market, tree, line.component, memo)
            food, complete = food + mass * unit, complete and known
            continue
        offer = market.offer(line.ingredient)
        complete = complete and offer is not None
        if offer is not None:
            food += mass / book.ingredients[line.ingredient].edible_yield * offer.per_gram
    memo[recipe_id] = (food / resolved.written.net_g, complete)
    return memo[recipe_id]


def standard_unit_cost(book, market, tree):
    """The figure compared between sites and revisions: from written batches
    all the way down, so that no batch split moves it."""
    root = list(tree)[-1]
    per_gram, complete = _per_gram(book, market, tree, root, {})
    written = tree[root].written
    if written.piece_g is None:
        return UnitCost("gram", per_gram, complete)
    return UnitCost("piece", per_gram * written.piece_g, complete)
