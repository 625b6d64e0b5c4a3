"""Recipes from the bottom of the tree up, each resolved before its users."""

from dataclasses import dataclass
from fractions import Fraction

from .. import book as authored
from .. import resolve
from ..yields import kept
from . import amounts, shapes
from .steps import add_steps
from .yield_forms import choose_yield

NAMES = [
    ("pear-entremet", "Pear, buckwheat and honey entremet", "Entremets poire, sarrasin et miel"),
    ("honey-bavarois", "Honey bavarois", "Bavarois au miel"),
    ("honey-cremeux", "Honey crémeux", "Crémeux au miel"),
    ("honey-syrup", "Honey syrup", "Sirop au miel"),
    ("honey-glaze", "Honey glaze", "Glaçage au miel"),
    ("pear-insert", "Pear insert", "Insert poire"),
    ("pear-compote", "Pear compote", "Compote de poires"),
    ("pear-gel", "Pear gel", "Gelée de poire"),
    ("pear-poached", "Poached pears", "Poires pochées"),
    ("buckwheat-sponge", "Buckwheat sponge", "Biscuit au sarrasin"),
    ("buckwheat-crumble", "Buckwheat crumble", "Crumble au sarrasin"),
    ("buckwheat-praline", "Buckwheat praline", "Praliné sarrasin"),
    ("buckwheat-milk", "Buckwheat-infused milk", "Lait infusé au sarrasin"),
    ("laminated-dough", "Laminated dough", "Pâte feuilletée"),
    ("butter-block", "Butter block", "Beurre de tourage"),
    ("detrempe", "Base dough", "Détrempe"),
    ("yeasted-dough", "Yeasted dough", "Pâte levée"),
    ("poolish", "Poolish", "Poolish"),
    ("custard-base", "Custard base", "Crème anglaise"),
    ("egg-wash", "Egg wash", "Dorure"),
    ("almond-cream", "Almond cream", "Crème d'amande"),
    ("soaking-syrup", "Soaking syrup", "Sirop d'imbibage"),
]
WATER_LOSSES = ("2 %", "4 %", "7.5 %", "10 %", "12.5 %", "18 %", "25 %", "3 1/3 %")
WHOLE_LOSSES = ("1 %", "1.5 %", "2 %", "5 %", "8 %", "2/3 %")
EQUIPMENT = ("mixer", "kettle", "oven", "sheeter")


@dataclass(slots=True)
class Kitchen:
    """What is known while a book grows: its documents and their values."""

    book: authored.Book
    resolved: dict
    documents: dict  # recipes by id

    def add(self, doc):
        """Takes a finished recipe in."""
        recipe = authored.recipe(doc)
        self.documents[recipe.id] = doc
        self.book.recipes[recipe.id] = recipe
        self.resolved[recipe.id] = resolve.resolve_recipe(self.book, self.resolved, recipe)


def _ingredient_amount(rng, item, has_base):
    """An amount that the ingredient's data allow, of any kind."""
    kinds = ["mass"] * 5 + ["small"] * 2
    kinds += ["volume"] * 4 if item.density else []
    kinds += ["count"] * 5 if item.piece_mass else []
    kinds += ["share"] * 9 if has_base else []
    kinds += ["shape"] * 2 if item.density else []
    kinds += ["taste"] if rng.random() < 0.4 else []
    kind = rng.choice(kinds)
    if kind == "mass":
        return amounts.pick(rng, amounts.MASS)
    if kind == "small":
        return amounts.pick(rng, amounts.SMALL_MASS)
    if kind == "volume":
        return amounts.pick(rng, amounts.VOLUME)
    if kind == "count":
        return rng.choice(amounts.COUNT) + " pieces"
    if kind == "shape":
        return shapes.amount(rng)
    return "to taste" if kind == "taste" else rng.choice(amounts.SHARE) + " %"


def _component_amount(rng, resolved, has_base):
    kinds = ["mass"] * 4
    kinds += ["volume"] * 3 + ["shape"] * 2 if resolved.recipe.density else []
    kinds += ["count"] * 5 if resolved.written.piece_g else []
    kinds += ["share"] * 2 if has_base else []
    kind = rng.choice(kinds)
    if kind == "mass":
        return amounts.pick(rng, amounts.MASS)
    if kind == "volume":
        return amounts.pick(rng, amounts.VOLUME)
    if kind == "count":
        return rng.choice(amounts.COMPONENT_COUNT) + " pieces"
    if kind == "shape":
        return shapes.amount(rng)
    return rng.choice(amounts.SHARE) + " %"


def _scaling(rng, amount):
    if isinstance(amount, str) and amount.endswith("pieces") and rng.random() < 0.5:
        return "whole"
    chance = rng.random()
    return "per-batch" if chance < 0.1 else "whole" if chance < 0.12 else "proportional"


def _line(rng, kind, ref, amount):
    line = {kind: ref, "amount": amount}
    scaling = _scaling(rng, amount) if kind == "ingredient" else rng.choice(["proportional"] * 14 + ["per-batch"])
    if scaling != "proportional" or rng.random() < 0.1:
        line["scaling"] = scaling
    if rng.random() < 0.25:
        line["tolerance"] = rng.choice(["1 %", "0.5 %", "5 %", "10 %", "2 %", "1/4 %"])
    return line


def _base_lines(rng, kitchen):
    chosen = rng.sample(sorted(kitchen.book.ingredients), rng.randint(1, 2))
    lines = [{"ingredient": i, "amount": amounts.pick(rng, amounts.MASS), "base": True} for i in chosen]
    if len(lines) == 2 and rng.random() < 0.1:
        lines[1]["scaling"] = "per-batch"
    return lines


def _lines(rng, kitchen, components):
    """Lines of a recipe; at least one scales and has a mass."""
    based = rng.random() < 0.35
    first = amounts.pick(rng, amounts.MASS)
    lines = _base_lines(rng, kitchen) if based else [
        {"ingredient": rng.choice(sorted(kitchen.book.ingredients)), "amount": first}
    ]
    for ref in components:
        amount = _component_amount(rng, kitchen.resolved[ref], based)
        lines.append(_line(rng, "component", ref, amount))
    for _ in range(rng.randint(0, 5)):
        ref = rng.choice(sorted(kitchen.book.ingredients))
        amount = _ingredient_amount(rng, kitchen.book.ingredients[ref], based)
        lines.append(_line(rng, "ingredient", ref, amount))
    rng.shuffle(lines)
    return lines


def _losses(rng, total):
    losses = []
    for stage in rng.sample(["cook", "bake", "trim", "transfer"], rng.choice([0, 1, 1, 2, 3])):
        kind = "water" if stage in ("cook", "bake") else "whole"
        share = rng.choice(WATER_LOSSES if kind == "water" else WHOLE_LOSSES)
        losses.append({"stage": stage, "kind": kind, "fraction": share})
    for stage in rng.choice([[], [], ["bowl"], ["bowl", "bag"]]):
        residue = amounts.tidy_grams(rng, total * Fraction(rng.randint(1, 40), 1000))
        losses.append({"stage": stage, "residue": residue})
    rng.shuffle(losses)
    return losses


def _batch(rng, resolved, doc):
    """Limits that leave room for the residue and the per-batch lines."""
    written = resolved.written
    total = written.scaling_g + written.fixed_g
    room = max(3 * written.residue_g / written.factor, written.fixed_g * Fraction(3, 2))
    batch = {}
    if rng.random() < 0.45:
        largest = max(total * Fraction(rng.randint(6, 40), 10), room)
        batch["max"] = amounts.tidy_grams(rng, largest * Fraction(11, 10))
    if rng.random() < 0.3:
        batch["min"] = amounts.tidy_grams(rng, total * Fraction(rng.randint(1, 6), 10))
    if rng.random() < 0.45:
        batch["equipment"] = rng.choice(EQUIPMENT)
    if batch:
        doc["batch"] = batch


def _head(rng, names):
    recipe_id, english, french = names
    doc = {"id": recipe_id, "title": {"en": english, "fr": french}}
    if rng.random() < 0.55:
        doc["density"] = rng.choice(["0.62", "0.85", "1.05", "1.1", "1.28", "0.475"]) + " g/mL"
    if rng.random() < 0.15:
        doc["note"] = 'Keep it "short": no colour.\nTaste the honey first.'
    return doc


def add_recipe(rng, kitchen, names, components):
    """One more recipe, on top of components that are there."""
    doc = _head(rng, names)
    lines = _lines(rng, kitchen, components)
    recipe = authored.recipe(doc | {"line": lines})
    masses = resolve.line_masses(kitchen.book, kitchen.resolved, recipe)
    losses = _losses(rng, sum(masses))
    lossy = authored.recipe(doc | {"loss": losses})
    through = sum(masses) * kept(lossy.fractions)
    yields = choose_yield(rng, through, lossy.residue, lossy.density)
    doc |= {"yield": yields} if yields else {}
    doc["line"] = lines
    doc |= {"loss": losses} if losses else {}
    resolved = resolve.resolve_recipe(kitchen.book, kitchen.resolved, authored.recipe(doc))
    _batch(rng, resolved, doc)
    add_steps(rng, doc, resolved.written.pieces is not None)
    kitchen.add(doc)


def _levels(rng, count):
    depth = min(rng.choice([1, 2, 3, 3, 4, 4, 5, 5, 5]), count)
    levels = list(range(depth)) + [rng.randrange(max(depth - 1, 1)) for _ in range(count - depth)]
    return sorted(levels)


def _components(rng, levels, names, index, unused):
    """What recipe `index` uses: something of the level below, and lower ones."""
    level = levels[index]
    if level == 0:
        return []
    below = [names[i] for i in range(index) if levels[i] == level - 1]
    lower = [names[i] for i in range(index) if levels[i] < level]
    chosen = {rng.choice(below)}
    chosen |= set(rng.sample(lower, min(len(lower), rng.choice([0, 1, 1, 2]))))
    waiting = [n for n in lower if n in unused]
    chosen |= set(waiting if index == len(levels) - 1 else waiting[:1])
    return sorted(chosen)


def add_recipes(rng, kitchen):
    """The recipes of a book; returns the id of the last, which tops the tree."""
    count = rng.randint(1, 12)
    chosen = rng.sample(NAMES, count)
    levels, names, unused = _levels(rng, count), [n[0] for n in chosen], set()
    for index in range(count):
        components = _components(rng, levels, names, index, unused)
        add_recipe(rng, kitchen, chosen[index], components)
        unused -= set(components)
        unused.add(names[index])
    return names[-1]
