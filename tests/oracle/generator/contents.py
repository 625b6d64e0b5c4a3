"""Allergens and content for a book's ingredients, drawn apart from all else.

Nothing here touches a mass, so what scale and cost give stays as it was.
"""

from ..allergens import GROUPS, KINDS, codes

NUTRIENTS = "water fat saturates carbohydrate sugars polyols fibre protein salt alcohol".split()

# Grams per 100 g in the order above; invented, near enough to be plausible.
SHELF = {
    "egg-whole": "76.2 9.5 3.1 0.7 0.4 0 0 12.6 0.36 0",
    "egg-yolk": "52.3 26.5 9.6 3.6 0.6 0 0 15.9 0.12 0",
    "egg-white": "87.6 0.2 0 0.7 0.7 0 0 10.9 0.42 0",
    "milk-whole": "87.7 3.6 2.3 4.7 4.7 0 0 3.3 0.1 0",
    "cream-35": "59 35 22.5 3 3 0 0 2.2 0.07 0",
    "butter-unsalted": "15.9 82 51.5 0.7 0.7 0 0 0.7 0.02 0",
    "honey-buckwheat": "18 0 0 80.8 78.5 0 0 0.6 0.02 0",
    "honey-acacia": "17.1 0 0 82.2 81.5 0 0.2 0.3 0.01 0",
    "pear-conference": "84 0.1 0 12.1 9.8 2.1 3.1 0.4 0 0",
    "pear-puree": "80.5 0.1 0 16 13 2 2.4 0.3 0 0",
    "buckwheat-flour": "11.2 3.1 0.7 60.6 2.6 0 10 12.6 0.03 0",
    "wheat-flour": "13 1 0.2 73 0.3 0 2.5 10 0.01 0",
    "sugar-caster": "0.05 0 0 99.9 99.9 0 0 0 0 0",
    "sugar-icing": "0.2 0 0 99.7 98 0 0 0 0.01 0",
    "glucose-syrup": "20 0 0 79.8 28 0 0 0 0.03 0",
    "gelatine-leaf": "13 0.1 0 0 0 0 0 85.6 0.5 0",
    "salt-fine": "0.2 0 0 0 0 0 0 0 99 0",
    "yeast-fresh": "69 1.9 0.2 10 0 0 8.1 8.4 0.08 0",
    "water": "100 0 0 0 0 0 0 0 0 0",
    "almond-ground": "4.5 52.5 4 8.8 4.6 0 9.9 21.4 0.05 0",
    "hazelnut": "5.3 60.8 4.5 7 4.3 0 9.7 15 0 0",
    "lemon": "89 0.3 0 6.5 2.5 0 2.8 1.1 0.01 0",
    "vanilla-pod": "27 6.5 1.5 38 14 0 20 4.5 0.05 1/3",
    "pectin-nh": "8.7 0.3 0 54 30 0 36 0.3 0.5 0",
    "chocolate-white": "0.7 37.3 22.3 53.8 53.8 0 0 6.7 0.24 0",
    "kasha": "8.4 2.7 0.6 64.6 2.6 0 10.3 11.7 0.03 0",
    "rye-flour": "12 1.6 0.2 62 1.1 0 13 8.2 0 0",
    "beeswax": "0 0 0 0 0 0 0 0 0 0",
}
LACKING = 0.15  # of the ingredients that state content, how many leave some out
STATES = ("contains", "may-contain", "free")


def _content(rng, ingredient):
    content = {n: f"{text} g" for n, text in zip(NUTRIENTS, SHELF[ingredient].split())}
    if rng.random() < LACKING:
        for nutrient in rng.sample(NUTRIENTS, rng.randint(1, 9)):
            del content[nutrient]
    return content


def _stated(rng, stated):
    """More statements beside those that are there: traces, kinds, groups, contradictions."""
    more = dict(stated)
    for code in rng.sample(codes(), rng.choice([0, 1, 1, 2, 3])):
        more.setdefault(code, rng.choice(STATES))
    if rng.random() < 0.15:
        group = rng.choice(sorted(KINDS))
        more[group] = rng.choice(STATES)
    if rng.random() < 0.1:
        more |= {group: "free" for group in GROUPS if group not in more}
    return more


def add(rng, documents):
    """Adds to the ingredients of a book, in place."""
    thorough = rng.random() < 0.5  # a book whose ingredients are all stated
    for path, doc in documents.items():
        if not path.startswith("ingredients/"):
            continue
        for item in doc["ingredient"]:
            stated = _stated(rng, item.get("allergens", {})) if thorough or rng.random() < 0.4 else {}
            if stated:
                item["allergens"] = stated
            if thorough or rng.random() < 0.1:
                item["other_allergens"] = "free" if rng.random() < 0.95 else rng.choice(STATES)
            if thorough or rng.random() < 0.8:
                item["content"] = _content(rng, item["id"])
