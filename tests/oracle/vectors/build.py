"""Short ways to write cases and small books."""

BOOK = {"name": "Saltmarsh Kitchens", "currency": "EUR", "languages": ["en"], "labels": ["eu"]}


def case(name, rule, operation, source=None, /, **given):
    """One case: what it shows, the rule it is of, what is asked."""
    published = {"source": source} if source else {}
    return {"name": name, "rule": rule, **published, "operation": operation, "input": given}


def asking(operation, book, site=None, on=None):
    """Cases of one operation on one book: `ask(name, rule, recipe, **target)`."""

    def ask(name, rule, recipe, source=None, site=site, on=on, **target):
        ((kind, amount),) = target.items()
        place = {k: v for k, v in (("site", site), ("on", on)) if v is not None}
        given = {"book": book, "recipe": recipe, "target": {kind: amount}, **place}
        return case(name, rule, operation, source, **given)

    return ask


def ingredient(ingredient_id, **keys):
    return {"id": ingredient_id, "name": {"en": ingredient_id.replace("-", " ").capitalize()}, **keys}


def line(what, amount, **keys):
    """A line; `what` is an ingredient, or `>recipe` for a component."""
    kind = "component" if what.startswith(">") else "ingredient"
    return {kind: what.removeprefix(">"), "amount": amount, **keys}


def recipe(recipe_id, *lines, yields=None, **keys):
    """A recipe from its lines."""
    stated = {"yield": yields} if yields else {}
    title = recipe_id.replace("-", " ").capitalize()
    return {"id": recipe_id, "title": {"en": title}, **stated, **keys, "line": list(lines)}


def scale(name, capacity, increment):
    return {"name": name, "capacity": capacity, "increment": increment}


def site(site_id, *scales, equipment=(), **keys):
    """A site with scales and (class, capacity) pairs of equipment."""
    machines = [{"class": c, "capacity": g} for c, g in equipment]
    parts = {"scale": list(scales), "equipment": machines}
    return {"id": site_id, "name": f"{site_id.capitalize()} kitchen", **keys} | {k: v for k, v in parts.items() if v}


def price(what, pack, money, start, **keys):
    return {"ingredient": what, "pack": pack, "price": money, "from": start, **keys}


def rate(source, target, number, on):
    return {"from": source, "to": target, "rate": number, "on": on}


def book(pantry, recipes, sites=(), prices=None, **settings):
    """The documents of a book by path."""
    documents = {"book.toml": BOOK | settings, "ingredients/pantry.toml": {"ingredient": list(pantry)}}
    documents |= {f"recipes/{one['id']}.toml": one for one in recipes}
    documents |= {f"sites/{one['id']}.toml": one for one in sites}
    return documents | {f"prices/{stem}.toml": doc for stem, doc in (prices or {}).items()}


PANTRY = [
    ingredient("butter"),
    ingredient("egg", density="1.03 g/mL", piece_mass="50 g", edible_yield="88 %"),
    ingredient("flour"),
    ingredient("honey", density="1.42 g/mL"),
    ingredient("milk", density="1.03 g/mL"),
    ingredient("pear", piece_mass="130 g", edible_yield="78 %"),
    ingredient("salt"),
    ingredient("sugar"),
]
