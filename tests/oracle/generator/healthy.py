"""Requests against a book without fault."""

from datetime import date, timedelta
from fractions import Fraction

from ..errors import Refused
from ..onhand import uses
from ..prices import Market
from ..targets import Target, plan_for
from .demands import random_target
from .price_lists import DAYS
from .requests import Request
from .ties import Probe, tie_target

REQUEST_REFUSALS = {"below-per-batch", "on-hand-too-little", "on-hand-not-used", "no-pieces"}
DAY_CHOICES = [*DAYS, DAYS[1] - timedelta(days=1), date(2026, 11, 15), date(2026, 8, 8), date(2027, 3, 1)]
TIES = 0.4
ODD_REQUESTS = 0.04
# Small demands often fall below the per-batch amounts; most are drawn anew.
REFUSALS_KEPT = 0.25


def _refusal(book, tree, site, target):
    try:
        plan_for(book, tree, site, target)
    except Refused as refusal:
        return refusal.kind
    return None


def _odd_target(rng, book, tree):
    """A request that can't be met."""
    root = list(tree.values())[-1]
    if root.written.piece_g is None and rng.random() < 0.5:
        return Target("pieces", Fraction(rng.randint(1, 50)))
    ingredient = rng.choice(sorted(book.ingredients))
    on_hand = Fraction(1, 100) if uses(tree, ingredient) else Fraction(250)
    return Target("on_hand", on_hand, ingredient)


def _target(rng, book, tree, site, market):
    if rng.random() < ODD_REQUESTS:
        return _odd_target(rng, book, tree)
    if rng.random() < TIES:
        return tie_target(rng, Probe(book, tree, site, market))
    return random_target(rng, book, tree, site)


def random_request(rng, desk, recipe_id):
    """A request, or None if the draw gave none that the contract names."""
    book, tree = desk.book, desk.tree(recipe_id)
    cost = rng.random() < 0.45
    site_id = rng.choice(sorted(book.sites)) if cost or rng.random() < 0.75 else None
    day = rng.choice(DAY_CHOICES) if cost else None
    site = book.sites[site_id] if site_id else None
    target = _target(rng, book, tree, site, Market(book, site, day) if cost else None)
    if target is None:
        return None
    kind = _refusal(book, tree, site, target)
    if kind is not None and (kind not in REQUEST_REFUSALS or rng.random() > REFUSALS_KEPT):
        return None
    return Request(recipe_id, target, site_id, day)


def requests(rng, desk, root, count, elsewhere=0.2):
    """A few requests, most for the top of the tree; `elsewhere` is the share of others."""
    found = []
    for _ in range(count * 4):
        away = rng.random() < elsewhere
        recipe_id = rng.choice(sorted(desk.book.recipes)) if away else root
        request = random_request(rng, desk, recipe_id)
        if request is not None:
            found.append(request)
        if len(found) == count:
            break
    return found
