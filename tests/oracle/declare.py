"""The JSON of `declare`."""

from . import allergens, content, label
from .quantities import figure
from .resolve import resolve_tree

GRAMS, ENERGY = 3, 2


def _figure(known, places):
    missing = {"missing": sorted(known.missing)} if known.missing else {}
    return figure(known.grams, places) | missing


def _figures(of, scale=1):
    """Nutrients and energy, for 100 g times a scale."""
    scaled = {n: content.Known(k.grams * scale, k.missing) for n, k in of.known.items()}
    found = {n: _figure(k, GRAMS) for n, k in scaled.items()}
    kj, kcal = content.energy(content.Content(scaled, {}, frozenset()))
    return found | {"energy_kj": _figure(kj, ENERGY), "energy_kcal": _figure(kcal, ENERGY)}


def _label(of):
    kj, kcal = content.energy(of)
    rows = {"energy_kj": label.energy_shown(kj.grams), "energy_kcal": label.energy_shown(kcal.grams)}
    return rows | {n: label.shown(n, of.known[n].grams) for n in label.RULES}


def _list(book, tree, of):
    found = label.entries(book, of, allergens.leaves(tree), book.languages[0])
    return [
        {"name": e["name"], "ingredients": e["ingredients"], "g_per_100g": figure(e["grams"], GRAMS)}
        for e in found
    ]


def declare(book, recipe_id):
    """What `declare` prints: states, content, label and list, as far as they are reckoned here."""
    tree = resolve_tree(book, recipe_id)
    of = content.of_tree(book, tree)[recipe_id]
    piece = tree[recipe_id].written.piece_g
    return {
        "allergens": allergens.of_recipe(book, tree),
        "content_per_100g": _figures(of),
        "content_per_piece": None if piece is None else _figures(of, piece / 100),
        "to_taste": sorted(of.to_taste),
        "label": {"eu": _label(of)},
        "ingredient_list": {"entries": _list(book, tree, of)},
    }
