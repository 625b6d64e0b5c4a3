"""Small books for the hand-worked tests."""

from fractions import Fraction

from . import run
from .book import load_texts
from .targets import Target

BOOK = 'name = "Saltmarsh Kitchens"\ncurrency = "EUR"\nlanguages = ["en"]\nlabels = ["eu"]\n'

PANTRY = """
[[ingredient]]
id = "milk"
name = { en = "Milk" }
density = "1.03 g/mL"
[[ingredient]]
id = "egg"
name = { en = "Egg" }
density = "1.03 g/mL"
piece_mass = "50 g"
edible_yield = "80 %"
[[ingredient]]
id = "flour"
name = { en = "Flour" }
[[ingredient]]
id = "honey"
name = { en = "Honey" }
density = "1.42 g/mL"
[[ingredient]]
id = "salt"
name = { en = "Salt" }
"""

HARBOUR = """
id = "harbour"
name = "Harbour kitchen"
currency = "EUR"
labour_rate = "24 EUR/h"
[[scale]]
name = "floor"
capacity = "30 kg"
increment = "5 g"
[[scale]]
name = "bench"
capacity = "6 kg"
increment = "1 g"
[[scale]]
name = "fine"
capacity = "200 g"
increment = "0.1 g"
[[equipment]]
class = "mixer"
capacity = "4 kg"
"""


def recipe(recipe_id, *lines, yields="", head="", tail=""):
    """The text of a recipe from its lines: (name, amount, more keys)."""
    parts = [f'id = "{recipe_id}"\ntitle = {{ en = "{recipe_id}" }}\n{head}']
    if yields:
        parts.append(f"[yield]\n{yields}")
    for name, amount, *more in lines:
        kind, _, ref = name.rpartition(":")
        parts.append(f'[[line]]\n{kind or "ingredient"} = "{ref}"\namount = "{amount}"')
        parts += more
    return "\n".join([*parts, tail])


def book(*recipes, prices=None, sites=(HARBOUR,), pantry=PANTRY):
    """A book from recipe texts, site texts and price lists by stem."""
    files = {"book.toml": BOOK, "ingredients/pantry.toml": pantry}
    files |= {f"recipes/r{n}.toml": text for n, text in enumerate(recipes)}
    files |= {f"sites/s{n}.toml": text for n, text in enumerate(sites)}
    files |= {f"prices/{stem}.toml": text for stem, text in (prices or {}).items()}
    return load_texts(files)


def target(kind, value, ingredient=None):
    """A target with an exact value, from text or a number."""
    return Target(kind, Fraction(value), ingredient)


def scaled(made, kind, value, recipe_id="r", site=None, ingredient=None):
    """The scale result and its components by id."""
    result = run.scale(made, recipe_id, target(kind, value, ingredient), site)
    return result, {c["recipe"]: c for c in result["components"]}


def exact(figure):
    """The exact text of a figure."""
    return figure["exact"]


def masses(component):
    """The exact line masses of a component."""
    return [exact(line["mass_g"]) for line in component["lines"]]
