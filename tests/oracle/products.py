"""Several products in one plan: what two of them use is made once."""

from dataclasses import dataclass
from fractions import Fraction

from . import render
from .cost import cost_plan
from .errors import Refused
from .plan import batch_limits, make_plans
from .prices import Market
from .resolve import resolve_tree
from .run import find_site
from .targets import Target, net_mass


@dataclass(frozen=True, slots=True)
class Product:
    """One demand, and what it comes to."""

    recipe: str
    target: Target
    net_g: Fraction
    pieces: Fraction | None


def _product(book, site, recipe_id, target, alone):
    if target.kind == "on_hand" and not alone:
        raise Refused("on-hand-among-others", "what is on hand makes one product, not several")
    tree = resolve_tree(book, recipe_id)
    net = net_mass(book, tree, batch_limits(tree, site), target)
    piece = tree[recipe_id].written.piece_g
    return Product(recipe_id, target, net, None if piece is None else net / piece)


def plan(book, site, asked):
    """The products of (recipe, target) pairs, and the plan that makes them all."""
    if not asked:
        raise Refused("nothing-asked", "a plan is for one product or more")
    products = [_product(book, site, recipe, target, len(asked) == 1) for recipe, target in asked]
    tree = resolve_tree(book, *(p.recipe for p in products))
    demands = {}
    for product in products:
        demands[product.recipe] = demands.get(product.recipe, Fraction(0)) + product.net_g
    in_batches = {p.recipe for p in products if p.target.kind == "batches"}
    return products, make_plans(tree, batch_limits(tree, site), demands, in_batches)


def plan_json(book, asked, site_id=None):
    """The products, and all that is made for them."""
    site = find_site(book, site_id)
    products, planned = plan(book, site, asked)
    return {"products": [render.product_json(p) for p in products]} | render.plan_json(planned, site, book)


def cost_json(book, asked, site_id, day):
    """What they cost together. The cost of a piece is that of a single product's."""
    site = find_site(book, site_id)
    products, planned = plan(book, site, asked)
    market = Market(book, site, day)
    net, pieces = sum(p.net_g for p in products), products[0].pieces if len(products) == 1 else None
    return render.cost_json(cost_plan(book, market, planned), market.currency, net, pieces)
