"""Content per 100 g finished, from the written batch (section 8 of the contract)."""

from dataclasses import dataclass
from fractions import Fraction

from .errors import Refused

NUTRIENTS = "water fat saturates carbohydrate sugars polyols fibre protein salt alcohol".split()
# Regulation (EU) No 1169/2011, Annex XIV: kJ and kcal per gram.
KJ = {"fat": 37, "protein": 17, "fibre": 8, "alcohol": 29, "polyols": 10}
KCAL = {"fat": 9, "protein": 4, "fibre": 2, "alcohol": 7, "polyols": Fraction(24, 10)}
CARBOHYDRATE_KJ, CARBOHYDRATE_KCAL = 17, 4


@dataclass(frozen=True, slots=True)
class Known:
    """Grams of something in 100 g; with anything missing, a lower bound."""

    grams: Fraction
    missing: frozenset


@dataclass(frozen=True, slots=True)
class Content:
    """What a finished recipe holds, and what was used for 100 g of it."""

    known: dict  # by nutrient
    used: dict  # grams at the mixing bowl by ingredient, for 100 g finished
    to_taste: frozenset  # what is in it, unweighed


def _of_ingredient(ingredient):
    known = {}
    for nutrient in NUTRIENTS:
        stated = ingredient.content.get(nutrient)
        lacking = frozenset() if stated is not None else frozenset([ingredient.id])
        known[nutrient] = Known(stated or Fraction(0), lacking)
    return Content(known, {ingredient.id: Fraction(100)}, frozenset())


def _dry(recipe, grams, complete):
    """The water in 100 g after the losses of water, stage by stage."""
    for number, stage in enumerate(recipe.stages, start=1):
        if stage.kind != "water":
            continue
        gone = 100 * stage.fraction
        if grams < gone and complete:
            name = stage.name or f"loss {number}"
            raise Refused("water-below-zero", f"{recipe.id}: `{name}` takes more water than there is")
        grams = max(Fraction(0), (grams - gone) / (1 - stage.fraction))
    return grams


def _mixed(parts, nutrient):
    """100 g of the mix, before anything is lost: parts are (share, content)."""
    grams = sum((share * content.known[nutrient].grams for share, content in parts), Fraction(0))
    missing = frozenset().union(*(c.known[nutrient].missing for share, c in parts if share > 0))
    return Known(grams, missing)


def _of_recipe(recipe, parts, to_taste):
    left = Fraction(1)
    for stage in recipe.stages:
        left *= 1 - stage.fraction if stage.kind == "water" else 1
    known = {}
    for nutrient in NUTRIENTS:
        mixed = _mixed(parts, nutrient)
        dried = _dry(recipe, mixed.grams, not mixed.missing) if nutrient == "water" else mixed.grams / left
        known[nutrient] = Known(dried, mixed.missing)
    used = {}
    for share, content in parts:
        for ingredient, grams in content.used.items():
            used[ingredient] = used.get(ingredient, Fraction(0)) + share * grams / left
    return Content(known, used, frozenset(to_taste))


def of_tree(book, tree):
    """The content of every recipe of a tree, in making order."""
    done = {}
    for recipe_id, resolved in tree.items():
        recipe = resolved.recipe
        total = sum(resolved.masses, Fraction(0))
        parts, to_taste = [], set()
        for line, mass in zip(recipe.lines, resolved.masses):
            part = done[line.component] if line.component else _of_ingredient(book.ingredients[line.ingredient])
            parts.append((mass / total, part))
            to_taste |= part.to_taste
            if line.amount is None:
                to_taste.add(line.component or line.ingredient)
        done[recipe_id] = _of_recipe(recipe, parts, to_taste)
    return done


def energy(content):
    """kJ and kcal of 100 g, from what is known, and what that lacks."""
    grams = {n: k.grams for n, k in content.known.items()}
    plain = grams["carbohydrate"] - grams["polyols"]
    kj = CARBOHYDRATE_KJ * plain + sum(f * grams[n] for n, f in KJ.items())
    kcal = CARBOHYDRATE_KCAL * plain + sum(f * grams[n] for n, f in KCAL.items())
    missing = frozenset().union(*(content.known[n].missing for n in [*KJ, "carbohydrate"]))
    return Known(kj, missing), Known(kcal, missing)
