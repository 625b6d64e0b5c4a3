"""Plans of several products of one book and prices that move, and what they should give."""

from fractions import Fraction

from .. import products, shock
from .. import quantities as q
from ..errors import Refused
from ..targets import Target
from .demands import random_target
from .healthy import DAY_CHOICES
from .requests import Desk

# Small demands often fall below the per-batch amounts; most are drawn anew.
REFUSALS_KEPT = 0.1
TRIES = 6


def _asked(rng, desk: Desk, site):
    """Two or three (recipe, target) pairs; a product may be asked for twice, or be a component of
    another."""
    asked = []
    for _ in range(rng.choice([2, 2, 3])):
        recipe_id = rng.choice(sorted(desk.book.recipes))
        target = random_target(rng, desk.book, desk.tree(recipe_id), site)
        if target is None or target.kind == "on_hand":
            target = Target("factor", Fraction(rng.randint(1, 40), rng.choice([1, 2, 3, 7, 10])))
        asked.append((recipe_id, target))
    return asked


def _result(book, asked, site_id, day):
    try:
        if day is None:
            return products.plan_json(book, asked, site_id)
        return products.cost_json(book, asked, site_id, day)
    except Refused as refusal:
        return {"error": refusal.kind}


def random_plan(rng, desk: Desk):
    """A plan as one case of a line of output, or None if the draws gave none worth keeping."""
    book = desk.book
    for _ in range(TRIES):
        day = rng.choice(DAY_CHOICES) if rng.random() < 0.4 else None
        site_id = rng.choice(sorted(book.sites)) if day or rng.random() < 0.75 else None
        asked = _asked(rng, desk, book.sites[site_id] if site_id else None)
        expect = _result(book, asked, site_id, day)
        if expect.get("error") and rng.random() > REFUSALS_KEPT:
            continue
        case = {"command": "plan" if day is None else "cost"}
        case["products"] = [{"recipe": r, "target": t.to_json()} for r, t in asked]
        case["site"] = site_id
        return case | ({} if day is None else {"on": day.isoformat()}) | {"expect": expect}
    return None


PARTS = ("1/8", "-1/20", "3/25", "0", "-1", "7/3", "1/1000")
PACKS = ("10 kg", "250 g", "5 L", "30 pieces", "5 lb")
PAID = ("82.50 EUR", "4.99 GBP", "1200 JPY", "0 EUR", "7.77 USD", "1/3 CHF")


def _price_change(rng, ingredient):
    if rng.random() < 0.6:
        return {"ingredient": ingredient, "by": rng.choice(PARTS)}
    return {"ingredient": ingredient, "pack": rng.choice(PACKS), "price": rng.choice(PAID[:5])}


def _read(change):
    if "by" in change:
        return shock.Change(change["ingredient"], by=Fraction(change["by"]))
    return shock.Change(change["ingredient"], pack=q.quantity(change["pack"]), price=q.money(change["price"]))


def random_shock(rng, desk: Desk):
    """Prices that move at a site, as one case of a line of output."""
    book, day = desk.book, rng.choice(DAY_CHOICES)
    site_id = rng.choice(sorted(book.sites))
    case = {"command": "shock", "site": site_id, "on": day.isoformat()}
    if rng.random() < 0.3:
        since = rng.choice(DAY_CHOICES)
        return case | {"since": since.isoformat(), "expect": shock.shock_json(book, site_id, day, since)}
    moving = rng.sample(sorted(book.ingredients), min(len(book.ingredients), rng.choice([1, 1, 2, 4])))
    changes = [_price_change(rng, ingredient) for ingredient in moving]
    expect = shock.shock_json(book, site_id, day, [_read(change) for change in changes])
    return case | {"prices": changes, "expect": expect}
