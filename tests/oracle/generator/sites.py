"""Kitchens: their scales, machines and money."""

from fractions import Fraction

from .amounts import tidy_grams
from .shapes import SHEETS

SITES = [
    ("harbour", "Harbour kitchen", ["coast", "pilot"]),
    ("millrace", "Millrace kitchen", ["inland"]),
    ("station", "Station kitchen", ["inland", "pilot"]),
]
SCALES = [
    ("floor", "60 kg", "20 g"),
    ("platform", "30 kg", "5 g"),
    ("bench", "6 kg", "1 g"),
    ("bench-large", "15 kg", "1 g"),
    ("pass", "3 kg", "2 g"),
    ("fine", "600 g", "0.1 g"),
    ("jewel", "200 g", "0.01 g"),
    ("imperial", "10 lb", "1/4 oz"),
    ("counter", "1.5 kg", "0.5 g"),
]
CAPACITIES = (900, 2000, 4000, 6000, 12000, 20000, 40000)
SLIVER = {"length": "5 cm", "width": "2 cm"}
MONEY = ["GBP", "USD", "JPY", "CHF", "EUR"]
WAGES = {"EUR": "24.50", "GBP": "19.75", "USD": "27", "JPY": "2150", "CHF": "31.20"}


def needed_room(kitchen, equipment):
    """Input mass that a machine must hold so that every recipe can be made."""
    room = Fraction(1)
    for resolved in kitchen.resolved.values():
        if resolved.recipe.equipment == equipment:
            written = resolved.written
            room = max(room, 3 * written.residue_g / written.factor, written.fixed_g * 3 / 2)
    return room


def _equipment(rng, kitchen, name):
    room = needed_room(kitchen, name)
    fitting = [c for c in CAPACITIES if c > room]
    grams = rng.choice(fitting) if fitting else room * 2
    return {"class": name, "capacity": tidy_grams(rng, grams)} | _trays(rng)


def _trays(rng):
    """The trays of a load for half of the machines; now and then too small for any piece."""
    chance = rng.random()
    if chance < 0.5:
        return {}
    takes = {"tray_pieces": rng.choice([1, 6, 15, 24, 40])}
    if chance > 0.7:
        takes = {"tray": rng.choice(SHEETS + (SLIVER,))}
    return {"trays": rng.choice([1, 2, 4, 6, 10])} | takes


def _site(rng, kitchen, row, book_currency):
    site_id, name, groups = row
    doc = {"id": site_id, "name": name, "groups": groups, "language": rng.choice(["en", "fr"]), "label": "eu"}
    currency = book_currency if rng.random() < 0.7 else rng.choice(MONEY)
    if rng.random() < 0.85:
        doc["currency"] = currency
    else:
        currency = book_currency
    if rng.random() < 0.92:
        wage = currency if rng.random() < 0.97 else "EUR"
        doc["labour_rate"] = f"{WAGES[wage]} {wage}/h"
    scales = rng.sample(SCALES, rng.choice([0, 1, 2, 3, 3, 4, 5]))
    machines = [_equipment(rng, kitchen, m) for m in ("mixer", "kettle", "oven") if rng.random() < 0.6]
    if scales:
        doc["scale"] = [{"name": n, "capacity": c, "increment": i} for n, c, i in scales]
    if machines:
        doc["equipment"] = machines
    return doc


def site_documents(rng, kitchen, book_currency):
    """One to three sites."""
    rows = rng.sample(SITES, rng.randint(1, 3))
    return [_site(rng, kitchen, row, book_currency) for row in rows]
