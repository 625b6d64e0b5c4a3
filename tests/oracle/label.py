"""Rounding for a label of the European Union, and the list of ingredients."""

from fractions import Fraction

from .quantities import fixed

# After the Commission's guidance of December 2012, section 6: below or at the first figure
# nothing, then decimals from a figure on.
MACRO = (Fraction("0.5"), "0.5", ((Fraction(0), 1), (Fraction(10), 0)))
FATTY = (Fraction("0.1"), "0.1", ((Fraction(0), 1), (Fraction(10), 0)))
SALT = (Fraction("0.0125"), "0.01", ((Fraction(0), 2), (Fraction(1), 1)))
RULES = {
    "fat": MACRO,
    "saturates": FATTY,
    "carbohydrate": MACRO,
    "sugars": MACRO,
    "polyols": MACRO,
    "fibre": MACRO,
    "protein": MACRO,
    "salt": SALT,
}
ADDED_WATER = Fraction("99.5")
WATER_LEFT_OUT = 5


def shown(nutrient, grams):
    """A figure as a label shows it, without its unit."""
    least, text, bands = RULES[nutrient]
    if grams <= least:
        return "0" if grams == 0 else f"<{text}"
    places = [p for start, p in bands if grams >= start][-1]
    rounded = Fraction(fixed(grams, places))
    return fixed(rounded, [p for start, p in bands if rounded >= start][-1])


def energy_shown(figure):
    """Energy to the whole kJ or kcal."""
    return fixed(figure, 0)


def label_name(ingredient, wanted, fallback):
    """How an ingredient stands in a list, in a language."""
    for texts in (ingredient.label_name, ingredient.name):
        if wanted in texts:
            return texts[wanted]
    for texts in (ingredient.label_name, ingredient.name):
        if fallback in texts:
            return texts[fallback]
    return next(iter({**ingredient.name, **ingredient.label_name}.values()))


def is_added_water(ingredient):
    """Whether an ingredient is water and next to nothing else."""
    return ingredient.content.get("water", 0) >= ADDED_WATER


def _finished_mass(book, used):
    """Masses in 100 g finished: at the mixing bowl, added water by what is left."""
    water = {i for i in used if is_added_water(book.ingredients[i])}
    others = {i: grams for i, grams in used.items() if i not in water}
    left = max(Fraction(0), 100 - sum(others.values()))
    if left <= WATER_LEFT_OUT:
        return others
    added = sum(used[i] for i in water)
    # Several waters share what is left as they shared what was added.
    return others | {i: left * used[i] / added for i in water if used[i] > 0}


def entries(book, content, leaves, language):
    """The list of ingredients in descending mass; what has none comes last."""
    used = {i: content.used.get(i, Fraction(0)) for i in leaves}
    masses = _finished_mass(book, {i: grams for i, grams in used.items() if grams > 0})
    unweighed = {i: g for i, g in used.items() if g == 0 and not is_added_water(book.ingredients[i])}
    merged = {}
    for ingredient, grams in sorted((masses | unweighed).items()):
        name = label_name(book.ingredients[ingredient], language, book.languages[0])
        entry = merged.setdefault(name, {"name": name, "ingredients": [], "grams": Fraction(0)})
        entry["ingredients"].append(ingredient)
        entry["grams"] += grams
    return sorted(merged.values(), key=lambda e: (-e["grams"], e["ingredients"][0]))
