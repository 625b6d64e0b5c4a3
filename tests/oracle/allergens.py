"""Allergen states of ingredients and recipes (section 8 of the contract)."""

GROUPS = (
    "gluten crustaceans egg fish peanuts soya milk nuts celery mustard sesame sulphites lupin molluscs"
).split()
KINDS = {
    "gluten": "wheat spelt khorasan rye barley oats".split(),
    "nuts": "almond hazelnut walnut cashew pecan brazil pistachio macadamia pine-nut".split(),
}
# Worst last.
BADNESS = ["free", "may-contain", "unknown", "contains"]


def kinds_of(group):
    """The codes of the kinds of a group."""
    return [f"{group}.{kind}" for kind in KINDS.get(group, [])]


def codes():
    """All codes: groups, then kinds."""
    return GROUPS + [kind for group in GROUPS for kind in kinds_of(group)]


def worst(states):
    """The worst of some states; free of none."""
    return max(states, key=BADNESS.index, default="free")


def _own_of_group(ingredient, group):
    """What is said of a group itself, its kinds aside."""
    return ingredient.allergens.get(group) or ingredient.other_allergens or "unknown"


def _explained(ingredient, group, own):
    """Whether a named kind is at least as bad as what is said of its group."""
    named = [ingredient.allergens[k] for k in kinds_of(group) if k in ingredient.allergens]
    return bool(named) and BADNESS.index(worst(named)) >= BADNESS.index(own)


def _of_kind(ingredient, group, kind):
    """A kind that isn't named follows its group, as far as that says anything of it."""
    stated = ingredient.allergens
    if kind in stated:
        return stated[kind]
    if group not in stated:
        return ingredient.other_allergens or "unknown"
    own = stated[group]
    if own != "free" and ingredient.other_allergens and _explained(ingredient, group, own):
        return ingredient.other_allergens
    # A group that is contained says nothing of which kind it is.
    return "unknown" if own == "contains" else own


def of_ingredient(ingredient):
    """The state of every code in one ingredient."""
    states = {}
    for group in GROUPS:
        kinds = {kind: _of_kind(ingredient, group, kind) for kind in kinds_of(group)}
        states |= kinds | {group: worst([_own_of_group(ingredient, group), *kinds.values()])}
    return {code: states[code] for code in codes()}


def leaves(tree):
    """The ids of all ingredients of a tree, by the way of its lines, to taste or not."""
    return sorted({line.ingredient for r in tree.values() for line in r.recipe.lines if line.ingredient})


def of_recipe(book, tree):
    """State and causing ingredients of every code in the recipe at the top of a tree."""
    known = {i: of_ingredient(book.ingredients[i]) for i in leaves(tree)}
    result = {}
    for code in codes():
        state = worst(states[code] for states in known.values())
        because = [i for i, states in known.items() if states[code] == state != "free"]
        result[code] = {"state": state, "because": because}
    return result
