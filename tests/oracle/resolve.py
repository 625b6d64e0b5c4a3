"""From authored lines to masses (section 3), over a recipe's whole tree."""

from dataclasses import dataclass
from fractions import Fraction

from .book import Recipe
from .errors import Refused
from .yields import Written, written_batch


@dataclass(frozen=True, slots=True)
class Resolved:
    """A recipe with the mass in grams of each of its lines."""

    recipe: Recipe
    masses: tuple
    written: Written


def component_ids(recipe):
    """The recipes that a recipe uses directly, each once."""
    return sorted({line.component for line in recipe.lines if line.component})


def tree_ids(book, *roots):
    """All recipes of the trees; refuses a recipe that contains itself."""
    done, path = set(), []

    def visit(recipe_id):
        if recipe_id in path:
            chain = " -> ".join(path[path.index(recipe_id) :] + [recipe_id])
            raise Refused("cycle", f"a recipe contains itself: {chain}")
        if recipe_id in done:
            return
        if recipe_id not in book.recipes:
            raise Refused("unknown-recipe", f"there is no recipe `{recipe_id}`")
        path.append(recipe_id)
        for component in component_ids(book.recipes[recipe_id]):
            visit(component)
        path.pop()
        done.add(recipe_id)

    for root in roots:
        visit(root)
    return done


def making_order(book, *roots):
    """Repeatedly the smallest id among those whose components are all listed."""
    waiting = {i: set(component_ids(book.recipes[i])) for i in tree_ids(book, *roots)}
    order = []
    while waiting:
        ready = min(i for i, needs in waiting.items() if needs.isdisjoint(waiting))
        del waiting[ready]
        order.append(ready)
    return order


def _ingredient(book, ingredient_id):
    if ingredient_id not in book.ingredients:
        raise Refused("unknown-ingredient", f"there is no ingredient `{ingredient_id}`")
    return book.ingredients[ingredient_id]


def _density(book, line, place):
    holder = book.recipes[line.component] if line.component else _ingredient(book, line.ingredient)
    if holder.density is None:
        raise Refused("missing-density", f"{place}: `{holder.id}` is measured by volume, it states no density")
    return holder.density


def _piece_mass(book, resolved, line, place):
    if line.component:
        piece = resolved[line.component].written.piece_g
        if piece is None:
            raise Refused("no-pieces", f"{place}: `{line.component}` is counted, it yields no pieces")
        return piece
    piece = _ingredient(book, line.ingredient).piece_mass
    if piece is None:
        raise Refused("missing-piece-mass", f"{place}: `{line.ingredient}` is counted, it states no piece mass")
    return piece


def _direct_mass(book, resolved, recipe, line):
    """The mass of a line that is no share; None for a share."""
    place = f"{recipe.id} line {line.number}"
    if line.ingredient:
        _ingredient(book, line.ingredient)
    if line.amount is None:
        return Fraction(0)
    kind, value = line.amount.dimension, line.amount.value
    if kind == "mass":
        return value
    if kind == "volume":
        return value * _density(book, line, place)
    if kind == "count":
        return value * _piece_mass(book, resolved, line, place)
    if kind == "share":
        return None
    raise Refused("wrong-dimension", f"{place}: a {kind} is no amount")


def line_masses(book, resolved, recipe):
    """The mass of each line of the written batch."""
    direct = [_direct_mass(book, resolved, recipe, line) for line in recipe.lines]
    if None not in direct:
        return tuple(direct)
    marked = [mass for line, mass in zip(recipe.lines, direct) if line.base]
    if not marked or None in marked:
        raise Refused("bad-base", f"{recipe.id}: shares need base lines that are no shares")
    base = sum(marked)
    return tuple(
        line.amount.value * base if mass is None else mass
        for line, mass in zip(recipe.lines, direct)
    )


def resolve_recipe(book, resolved, recipe):
    """A recipe, given its components already resolved."""
    masses = line_masses(book, resolved, recipe)
    fixed = sum((m for line, m in zip(recipe.lines, masses) if line.scaling == "per-batch"), Fraction(0))
    result = Resolved(recipe, masses, written_batch(recipe, sum(masses) - fixed, fixed))
    if result.written.pieces is None and any(s.labour == "per-piece" for s in recipe.steps):
        raise Refused("labour-needs-pieces", f"{recipe.id}: labour per piece, but it yields no pieces")
    return result


def resolve_tree(book, *roots):
    """The trees of some recipes in making order, by id; a single root is the last."""
    known, tree = book.resolved, {}
    for recipe_id in making_order(book, *roots):
        if recipe_id not in known:
            known[recipe_id] = resolve_recipe(book, tree, book.recipes[recipe_id])
        tree[recipe_id] = known[recipe_id]
    return tree
