"""One fault put into a sound book, so that only one refusal is possible."""

from dataclasses import dataclass, field
from fractions import Fraction

from ..yields import kept
from . import amounts
from .price_lists import DAYS
from .world import World


@dataclass(slots=True)
class Fault:
    """A spoilt book. `always`: every request must be refused, else some may pass.
    `demands`: kinds and values of further requests for the top of the tree."""

    kind: str
    world: World
    always: bool = True
    cost_only: bool = False
    demands: list = field(default_factory=list)


def _lines(tree, wanted):
    """(recipe id, line index, line) over a tree where `wanted(line)` holds."""
    return [
        (recipe_id, index, line)
        for recipe_id, resolved in tree.items()
        for index, line in enumerate(resolved.recipe.lines)
        if wanted(line)
    ]


def _measured_by(dimension):
    return lambda line: line.amount is not None and line.amount.dimension == dimension


def _plain(line):
    """An ingredient by mass: it can be measured in another way, its mass kept."""
    return _measured_by("mass")(line) and line.ingredient is not None


def _without(rng, world, tree, dimension, key, amount):
    """Takes away the datum that a line by volume or count needs."""
    spoilt = world.copy()
    found = _lines(tree, lambda l: _measured_by(dimension)(l) and (key == "density" or l.ingredient))
    if found:
        _, _, line = rng.choice(found)
    else:
        recipe_id, index, line = rng.choice(_lines(tree, _plain) or [(None, None, None)])
        if line is None:
            return None
        spoilt.recipe(recipe_id)["line"][index]["amount"] = amount
    holder = spoilt.recipe(line.component) if line.component else spoilt.ingredient(line.ingredient)
    holder.pop(key, None)
    return Fault(f"missing-{key.replace('_', '-')}", spoilt)


def missing_density(rng, world, tree):
    return _without(rng, world, tree, "volume", "density", "1/4 cup")


def missing_piece_mass(rng, world, tree):
    return _without(rng, world, tree, "count", "piece_mass", "3 pieces")


def pack_without_data(rng, world, tree):
    """A pack by volume or count of an ingredient that can't be resolved."""
    key, pack = rng.choice([("density", "5 L"), ("piece_mass", "30 pieces")])
    used = {line.ingredient for _, _, line in _lines(tree, lambda l: l.ingredient)}
    lacking = sorted(i for i in used if key not in world.ingredient(i))
    if not lacking:
        return None
    spoilt, ingredient = world.copy(), rng.choice(lacking)
    for path, doc in spoilt.documents.items():
        if path.startswith("prices/"):
            doc["price"] = [p for p in doc.get("price", []) if p["ingredient"] != ingredient]
    price = f"9.50 {spoilt.documents['book.toml']['currency']}"
    entry = {"ingredient": ingredient, "pack": pack, "price": price, "from": DAYS[0]}
    spoilt.documents.setdefault("prices/group.toml", {}).setdefault("price", []).append(entry)
    return Fault(f"missing-{key.replace('_', '-')}", spoilt, cost_only=True)


def cycle(rng, world, tree):
    """A line that uses a recipe above it, or its own; the mass stays."""
    found = _lines(tree, _plain)
    if not found:
        return None
    recipe_id, index, _ = rng.choice(found)
    above = [r for r in tree if recipe_id in _below(tree, r)] + [recipe_id]
    spoilt = world.copy()
    line = spoilt.recipe(recipe_id)["line"][index]
    del line["ingredient"]
    line |= {"component": rng.choice(above), "scaling": "proportional"}
    return Fault("cycle", spoilt)


def _below(tree, recipe_id):
    """All that a recipe contains."""
    found, waiting = set(), [recipe_id]
    while waiting:
        for line in tree[waiting.pop()].recipe.lines:
            if line.component and line.component not in found:
                found.add(line.component)
                waiting.append(line.component)
    return found


def unexplained_loss(rng, world, tree):
    """A declared yield just, or far, beyond a fifth of what the losses leave."""
    recipe_id = rng.choice(list(tree))
    recipe, written = tree[recipe_id].recipe, tree[recipe_id].written
    off = rng.choice([Fraction(200001, 10**6), Fraction(1, 4), Fraction(rng.randint(21, 60), 100)])
    off = off * rng.choice([1, -1])
    # The yield that is put in has no offcut.
    through = kept(s.fraction for s in recipe.stages) * (written.scaling_g + written.fixed_g)
    net = (1 - off) * through - recipe.residue
    pieces = recipe.yield_pieces
    stated = net / (pieces or 1)
    if net <= 0:
        return None
    text = amounts.exact_number(stated) if amounts.is_short(stated) else _outward(stated, off)
    spoilt = world.copy()
    table = {"mass": f"{text} g"} if pieces is None else {"pieces": int(pieces), "piece_mass": f"{text} g"}
    _put_yield(spoilt, recipe_id, table)
    return Fault("unexplained-loss", spoilt)


def _outward(value, off):
    """A decimal near a value, on the side that makes the fault larger."""
    thousandths = int(value * 1000) + (1 if off < 0 else 0)
    return amounts.exact_number(Fraction(max(thousandths, 1), 1000))


def _put_yield(world, recipe_id, table):
    """Replaces a yield, in the place where authors write it."""
    old = world.recipe(recipe_id)
    new = {}
    for key, value in old.items():
        if key in ("yield", "line") and "yield" not in new:
            new["yield"] = table
        if key != "yield":
            new[key] = value
    world.documents[f"recipes/{recipe_id}.toml"] = new


def below_per_batch(rng, world, tree):
    """More per batch than a small demand leaves room for."""
    recipe_id = rng.choice([list(tree)[-1]] * 2 + list(tree))
    resolved = tree[recipe_id]
    scaling = [
        index
        for index, line in enumerate(resolved.recipe.lines)
        if line.scaling == "proportional" and 0 < resolved.masses[index] < resolved.written.scaling_g
    ]
    if not scaling:
        return None
    index = rng.choice(scaling)
    spoilt = world.copy()
    spoilt.recipe(recipe_id)["line"][index]["scaling"] = "per-batch"
    fixed = resolved.written.fixed_g + resolved.masses[index]
    least = resolved.written.factor * fixed - resolved.written.residue_g
    demands = [("factor", Fraction(1, n)) for n in (20, 100, 1000)]
    if recipe_id == list(tree)[-1] and least > 0:
        edges = [Fraction(1), Fraction(1, 2), Fraction(999, 1000), Fraction(1001, 1000)]
        demands += [("mass_g", least * edge) for edge in edges if amounts.is_short(least * edge)]
    return Fault("below-per-batch", spoilt, always=False, demands=rng.sample(demands, 3))


def residue_exceeds_batch(rng, world, tree):
    """A bowl that holds no more than what its residue needs."""
    holding = [i for i, r in tree.items() if r.written.residue_g > 0]
    if not holding:
        return None
    recipe_id = rng.choice(holding)
    written = tree[recipe_id].written
    most = written.residue_g / written.factor
    bowl = most * rng.choice([1, Fraction(1, 2), Fraction(9, 10)])
    bowl = bowl if amounts.is_short(bowl) else Fraction(int(most * 1000), 1000)
    if bowl <= 0:
        return None
    spoilt = world.copy()
    batch = spoilt.recipe(recipe_id).setdefault("batch", {})
    batch.pop("min", None)
    text = f"{amounts.exact_number(bowl)} g"
    if rng.random() < 0.5:
        batch["max"] = text
        return Fault("residue-exceeds-batch", spoilt)
    batch["equipment"] = "depositor"
    for path, doc in spoilt.documents.items():
        if path.startswith("sites/"):
            doc.setdefault("equipment", []).append({"class": "depositor", "capacity": text})
    return Fault("residue-exceeds-batch", spoilt, always=False)


def counted_without_pieces(rng, world, tree):
    """A component by count that yields no pieces."""
    found = _lines(tree, lambda l: _measured_by("count")(l) and l.component)
    found = [f for f in found if not _paid_by_piece(tree[f[2].component].recipe)]
    if not found:
        return None
    spoilt = world.copy()
    spoilt.recipe(rng.choice(found)[2].component).pop("yield")
    return Fault("no-pieces", spoilt)


def _paid_by_piece(recipe):
    return any(step.labour == "per-piece" for step in recipe.steps)


def labour_without_pieces(rng, world, tree):
    """Labour per piece in a recipe by mass."""
    found = [i for i, r in tree.items() if r.written.pieces is None]
    if not found:
        return None
    spoilt = world.copy()
    step = {"id": "finish", "text": {"en": "Finish each one."}, "active": "20 s", "labour": "per-piece"}
    spoilt.recipe(rng.choice(found)).setdefault("step", []).append(step)
    return Fault("labour-needs-pieces", spoilt, cost_only=True)


FAULTS = (
    [missing_density] * 3
    + [missing_piece_mass] * 3
    + [cycle] * 3
    + [unexplained_loss] * 4
    + [below_per_batch] * 5
    + [residue_exceeds_batch] * 5
    + [pack_without_data, counted_without_pieces, labour_without_pieces]
)


def spoil(rng, world, tree):
    """A fault of a random kind that this book can have."""
    for make in rng.sample(FAULTS, len(FAULTS)):
        fault = make(rng, world, tree)
        if fault is not None:
            return fault
    raise AssertionError("a recipe without a line by mass")
