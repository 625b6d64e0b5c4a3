"""What other prices do to the standard unit cost of every recipe (rule 6.12)."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from . import quantities as q
from .errors import Refused
from .prices import Market
from .quantities import figure
from .resolve import resolve_tree

UNIT_COST, PERCENT = 4, 2


@dataclass(frozen=True, slots=True)
class Change:
    """One price that moves: by a part of what it is, or to so much for a pack."""

    ingredient: str
    by: Fraction | None = None
    pack: q.Quantity | None = None
    price: q.Money | None = None


def _costs(book, market):
    """What a purchased gram of every ingredient costs, None without a price."""
    offers = {i: market.offer(i) for i in book.ingredients}
    return {i: None if offer is None else offer.per_gram for i, offer in offers.items()}


def _pack_cost(market, change):
    """What a purchased gram costs by a pack, or None where that can't be said."""
    paid = market.convert(change.price)
    try:
        mass = market._pack_mass(change)
    except Refused:
        return None
    return None if paid is None else paid / mass


def _moved(book, site, on: date, asked):
    """Costs before and after, which ingredients moved, and which can't."""
    market = Market(book, site, on)
    if isinstance(asked, date):
        before, after = _costs(book, Market(book, site, asked)), _costs(book, market)
        return before, after, {i for i in before if before[i] != after[i]}, set()
    before = _costs(book, market)
    after, moved, stuck = dict(before), set(), set()
    for change in asked:
        known = before[change.ingredient]
        if change.by is None:
            cost = _pack_cost(market, change)
        else:
            cost = None if known is None else known * (1 + change.by)
        if cost is None:
            stuck.add(change.ingredient)
        else:
            after[change.ingredient] = cost
            moved.add(change.ingredient)
    return before, after, moved, stuck


def _per_gram(book, tree, costs):
    """The food of a net gram of every recipe, and whether every price below it is known."""
    found = {}
    for recipe_id, resolved in tree.items():
        food, complete = Fraction(0), True
        for line, mass in zip(resolved.recipe.lines, resolved.masses):
            if line.component:
                gram, known = found[line.component]
            else:
                cost = costs[line.ingredient]
                gram = Fraction(0) if cost is None else cost / book.ingredients[line.ingredient].edible_yield
                known = cost is not None
            food, complete = food + mass * gram, complete and known
        found[recipe_id] = food / resolved.written.net_g, complete
    return found


def _hit(tree, moved):
    """The recipes that take a moved ingredient, directly or below."""
    hit = set()
    for recipe_id, resolved in tree.items():
        for line in resolved.recipe.lines:
            if line.ingredient in moved or line.component in hit:
                hit.add(recipe_id)
    return hit


def _change(before, after):
    return None if not before or after is None or before is None else after / before - 1


def _price_json(ingredient, before, after):
    def cost(value):
        return None if value is None else figure(value * 1000, UNIT_COST)

    change = _change(before, after)
    return {
        "ingredient": ingredient,
        "per_kg": {"before": cost(before), "after": cost(after)},
        "change_percent": None if change is None else figure(change * 100, PERCENT),
    }


def _both(before, after, times):
    return {"before": figure(before * times, UNIT_COST), "after": figure(after * times, UNIT_COST)}


def _recipe(tree, recipe_id, before, after, of_moved):
    """The change of a recipe, and what is said of it."""
    (was, was_known), (now, now_known) = before[recipe_id], after[recipe_id]
    piece = tree[recipe_id].written.piece_g
    change = _change(was, now) if was_known and now_known else None
    share = of_moved[recipe_id][0] / now if now and now_known else None
    return change, {
        "recipe": recipe_id,
        "per_kg": _both(was, now, 1000),
        "per_piece": None if piece is None else _both(was, now, piece),
        "change_percent": None if change is None else figure(change * 100, PERCENT),
        "share_percent": None if share is None else figure(share * 100, PERCENT),
        "complete": was_known and now_known,
    }


def shock_json(book, site_id, on, asked):
    """What a move of prices does at a site: `asked` is a list of changes, or a day since which."""
    site = book.sites[site_id]
    before, after, moved, stuck = _moved(book, site, on, asked)
    tree = resolve_tree(book, *sorted(book.recipes))
    only = {i: after[i] if i in moved else Fraction(0) for i in after}
    grams = [_per_gram(book, tree, costs) for costs in (before, after, only)]
    recipes = [_recipe(tree, recipe_id, *grams) for recipe_id in sorted(_hit(tree, moved))]
    recipes.sort(key=lambda one: (one[0] is None, -abs(one[0] or 0), one[1]["recipe"]))
    return {
        "site": site_id,
        "currency": site.currency or book.currency,
        "prices": [_price_json(i, before[i], after[i]) for i in sorted(moved)],
        "without_price": sorted(stuck),
        "recipes": [said for _, said in recipes],
    }
