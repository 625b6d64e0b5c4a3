"""One request against a book: the whole reckoning in order."""

from . import cost, render, targets
from .errors import Refused
from .prices import Market
from .resolve import resolve_tree


def find_site(book, site_id):
    """The site asked for, if any."""
    if site_id is None:
        return None
    if site_id not in book.sites:
        raise Refused("unknown-site", f"there is no site `{site_id}`")
    return book.sites[site_id]


def scale(book, recipe_id, target, site_id=None):
    """The JSON of `scale`."""
    site = find_site(book, site_id)
    tree = resolve_tree(book, recipe_id)
    return render.scale_json(targets.plan_for(book, tree, site, target), site, target, book)


def costing(book, recipe_id, target, site_id, day):
    """The exact costing, its market and its plan."""
    site = find_site(book, site_id)
    planned = targets.plan_for(book, resolve_tree(book, recipe_id), site, target)
    market = Market(book, site, day)
    return cost.cost_plan(book, market, planned), market, planned


def cost_of(book, recipe_id, target, site_id, day):
    """The JSON of `cost`."""
    result, market, planned = costing(book, recipe_id, target, site_id, day)
    return render.cost_json(result, market.currency, planned[-1].net_g, planned[-1].pieces)


def standard_unit_cost(book, recipe_id, site_id, day):
    """The standard unit cost of a recipe at a site on a day."""
    market = Market(book, find_site(book, site_id), day)
    return cost.standard_unit_cost(book, market, resolve_tree(book, recipe_id))
