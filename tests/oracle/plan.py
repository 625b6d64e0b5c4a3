"""From a demand to batches and line masses over the tree (section 5)."""

from dataclasses import dataclass
from fractions import Fraction

from .errors import Refused
from .quantities import ceiling
from .resolve import Resolved


@dataclass(frozen=True, slots=True)
class Limit:
    """What one batch can make at a site: `input_g` is the bowl's capacity C,
    `net_g` is F C - r. Both are None where no capacity is known."""

    input_g: Fraction | None
    net_g: Fraction | None


@dataclass(frozen=True, slots=True)
class Planned:
    """One recipe of a plan: its demand, its batches and its lines' masses."""

    resolved: Resolved
    net_g: Fraction
    batches: int
    factor: Fraction
    masses: tuple

    @property
    def recipe(self):
        return self.resolved.recipe

    @property
    def input_g(self):
        """All that goes into the bowls, over all batches."""
        written = self.resolved.written
        return written.scaling_g * self.factor + written.fixed_g * self.batches

    @property
    def pieces(self):
        """Pieces made, or None for a recipe by mass."""
        piece = self.resolved.written.piece_g
        return None if piece is None else self.net_g / piece


def capacity(recipe, site):
    """The smaller of the recipe's own maximum and what the site's equipment
    holds: of several machines of one class, the largest."""
    known = [] if recipe.batch_max is None else [recipe.batch_max]
    if site is not None and recipe.equipment is not None:
        machines = [g for name, g in site.equipment if name == recipe.equipment]
        known += [max(machines)] if machines else []
    return min(known, default=None)


def batch_limit(resolved, site):
    """The limit of one batch; refuses a bowl whose residue takes it all."""
    written = resolved.written
    bowl = capacity(resolved.recipe, site)
    if bowl is None:
        return Limit(None, None)
    net = written.factor * bowl - written.residue_g
    if net <= 0:
        raise Refused(
            "residue-exceeds-batch",
            f"{resolved.recipe.id}: the residue exceeds what a batch can make",
        )
    return Limit(bowl, net)


def batch_limits(tree, site):
    """The limits of all recipes of a tree."""
    return {recipe_id: batch_limit(resolved, site) for recipe_id, resolved in tree.items()}


def batch_count(net_g, limit):
    """max(1, ceil(M / (F C - r))); one where no capacity is known."""
    return 1 if limit.net_g is None else max(1, ceiling(net_g / limit.net_g))


def proportional_factor(written, net_g, batches):
    """phi = ((M + B r) / F - B I_f) / I_p."""
    needed = (net_g + batches * written.residue_g) / written.factor
    return (needed - batches * written.fixed_g) / written.scaling_g


def _planned(resolved, net_g, batches):
    factor = proportional_factor(resolved.written, net_g, batches)
    if factor <= 0:
        raise Refused(
            "below-per-batch",
            f"{resolved.recipe.id}: the demand is below what the per-batch amounts allow",
        )
    masses = tuple(
        mass * (batches if line.scaling == "per-batch" else factor)
        for line, mass in zip(resolved.recipe.lines, resolved.masses)
    )
    return Planned(resolved, net_g, batches, factor, masses)


def _batches(resolved, net_g, limit, in_batches):
    """B; what is asked for in written batches takes as many where no bowl says otherwise."""
    if in_batches and limit.net_g is None:
        return max(1, ceiling(net_g / resolved.written.net_g))
    return batch_count(net_g, limit)


def make_plans(tree, limits, demands, in_batches=frozenset()):
    """All recipes of the trees in making order, for net masses by recipe.

    What several use is made once. `in_batches` are the recipes asked for in written
    batches. A component that is used to taste only has no demand and is not listed.
    """
    demand = dict(demands)
    planned = []
    for recipe_id in reversed(tree):
        net = demand.get(recipe_id, 0)
        if net == 0:
            continue
        resolved = tree[recipe_id]
        batches = _batches(resolved, net, limits[recipe_id], recipe_id in in_batches)
        item = _planned(resolved, net, batches)
        for line, mass in zip(item.recipe.lines, item.masses):
            if line.component:
                demand[line.component] = demand.get(line.component, 0) + mass
        planned.append(item)
    return planned[::-1]


def make_plan(tree, limits, net_g):
    """The plan for a net mass of the root of a tree, its last."""
    return make_plans(tree, limits, {list(tree)[-1]: net_g})


def ingredient_masses(planned):
    """Edible mass per ingredient over a plan, by id; to taste counts as 0."""
    totals = {}
    for item in planned:
        for line, mass in zip(item.recipe.lines, item.masses):
            if line.ingredient:
                totals[line.ingredient] = totals.get(line.ingredient, Fraction(0)) + mass
    return dict(sorted(totals.items()))
