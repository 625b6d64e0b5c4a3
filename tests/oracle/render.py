"""Results in the JSON of the commands."""

from .hints import hints_json
from .plan import ingredient_masses
from .quantities import figure, minor_digits
from .trays import loads_json, too_small
from .weigh import weigh

MASS, FACTOR, PIECES, PERCENT, UNIT_COST = 3, 6, 3, 2, 4


def _named(line):
    return {"component": line.component} if line.component else {"ingredient": line.ingredient}


def _weighing(weighing):
    if weighing is None:
        return None
    return {
        "scale": weighing.scale,
        "weighings": weighing.weighings,
        "reading_g": figure(weighing.reading_g, MASS),
        "error_percent": figure(weighing.error * 100, PERCENT),
        "flag": weighing.flag,
    }


def _lines(item, site, book):
    for line, mass in zip(item.recipe.lines, item.masses):
        per_batch = mass / item.batches
        weighing = weigh(site, per_batch, line.tolerance)
        yield {
            "line": line.number,
            **_named(line),
            "mass_g": figure(mass, MASS),
            "per_batch_g": figure(per_batch, MASS),
            "weigh": _weighing(weighing),
            "hints": hints_json(book, item, line, site) if weighing and weighing.flag else [],
        }


def warning_codes(item, lines, site):
    """The warnings of a planned recipe, each once, by code."""
    codes = set()
    least = item.recipe.batch_min
    if least is not None and item.input_g / item.batches < least:
        codes.add("below-minimum-batch")
    if item.resolved.written.warns:
        codes.add("unexplained-loss")
    if any(line.amount is None for line in item.recipe.lines):
        codes.add("to-taste")
    if any(line["weigh"] and line["weigh"]["flag"] for line in lines):
        codes.add("over-tolerance")
    if too_small(item, site):
        codes.add("no-trays")
    return sorted(codes)


def _component(item, site, book):
    lines = list(_lines(item, site, book))
    return {
        "recipe": item.recipe.id,
        "net_g": figure(item.net_g, MASS),
        "pieces": None if item.pieces is None else figure(item.pieces, PIECES),
        "batches": item.batches,
        "factor": figure(item.factor, FACTOR),
        "input_g": figure(item.input_g, MASS),
        "lines": lines,
        "trays": loads_json(item, site),
        "warnings": [{"code": code} for code in warning_codes(item, lines, site)],
    }


def plan_json(planned, site, book):
    """What is made, whatever was asked for."""
    return {
        "site": None if site is None else site.id,
        "components": [_component(item, site, book) for item in planned],
        "ingredients": [
            {"ingredient": i, "mass_g": figure(mass, MASS)}
            for i, mass in ingredient_masses(planned).items()
        ],
    }


def scale_json(planned, site, target, book):
    """What `scale` prints."""
    asked = {"recipe": planned[-1].recipe.id, "target": target.to_json()}
    return asked | plan_json(planned, site, book)


def product_json(product):
    """One of several products."""
    return {
        "recipe": product.recipe,
        "target": product.target.to_json(),
        "net_g": figure(product.net_g, MASS),
        "pieces": None if product.pieces is None else figure(product.pieces, PIECES),
    }


def _price(offer):
    if offer is None:
        return None
    price = offer.price
    return {
        "pack_g": figure(offer.pack_g, MASS),
        "price": figure(price.price.value, minor_digits(price.price.currency)),
        "currency": price.price.currency,
        "from": price.start.isoformat(),
        "supplier": price.supplier,
        "list": price.list,
    }


def _ingredient_cost(entry, digits):
    return {
        "ingredient": entry.ingredient,
        "mass_g": figure(entry.edible_g, MASS),
        "purchased_g": figure(entry.purchased_g, MASS),
        "cost": None if entry.cost is None else figure(entry.cost, digits),
        "price": _price(entry.offer),
    }


def cost_json(costing, currency, net_g, pieces):
    """What `cost` prints, for net grams and pieces (None where they have none) in all."""
    digits = minor_digits(currency)
    return {
        "currency": currency,
        "complete": not costing.missing,
        "missing": list(costing.missing),
        "food": figure(costing.food, digits),
        "labour": figure(costing.labour, digits),
        "total": figure(costing.total, digits),
        "per_piece": None if pieces is None else figure(costing.total / pieces, UNIT_COST),
        "per_kg": figure(costing.total / net_g * 1000, UNIT_COST),
        "ingredients": [_ingredient_cost(entry, digits) for entry in costing.ingredients],
        "order": [
            {"ingredient": o.ingredient, "packs": o.packs, "cost": figure(o.cost, digits)}
            for o in costing.orders
        ],
    }


def unit_cost_json(unit):
    """The standard unit cost, for tests that compare it."""
    return {"per": unit.per, "food": figure(unit.food, UNIT_COST), "complete": unit.complete}
