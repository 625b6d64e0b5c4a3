"""The most that a given mass of one ingredient makes (section 5, last target).

Demand for X as a function of the whole number d of pieces (or grams) is not
monotone: where a recipe goes from B to B + 1 batches its per-batch lines jump
up and its proportional lines may jump down. So bisection alone can miss the
answer. Two facts give it:

- For a fixed vector of batch counts every mass in the plan is affine in d, and
  the demands for which that vector holds form a window of consecutive d. Within
  one window the largest d follows in closed form.
- Over any interval of d, interval arithmetic bounds the demand for X from below
  (module `bounds`). An interval whose bound exceeds what is on hand holds no
  answer and is dropped whole.

The search takes the window at the upper end of an interval, then halves what is
left, upper half first: the first answer met is the largest. A proved affine
lower bound says where to start. A d that the plan refuses (phi <= 0 anywhere)
can't be made, and is no candidate.
"""

import math
from dataclasses import dataclass
from fractions import Fraction

from .bounds import least_demand
from .errors import Refused
from .plan import batch_count


@dataclass(frozen=True, slots=True)
class Affine:
    """slope x d + offset."""

    slope: Fraction
    offset: Fraction

    def __add__(self, other):
        return Affine(self.slope + other.slope, self.offset + other.offset)

    def __mul__(self, factor):
        return Affine(self.slope * factor, self.offset * factor)

    def at(self, d):
        return self.slope * d + self.offset


ZERO = Affine(Fraction(0), Fraction(0))


@dataclass(slots=True)
class Window:
    """Whole numbers low..high, narrowed by conditions; `high` None is no end."""

    low: int
    high: int | None

    def at_most(self, form, bound):
        """Keep d with form(d) <= bound; slopes are never negative."""
        if form.slope == 0:
            return self._keep_all_or_none(form.offset <= bound)
        last = math.floor((bound - form.offset) / form.slope)
        self.high = last if self.high is None else min(self.high, last)

    def above(self, form, bound):
        """Keep d with form(d) > bound."""
        if form.slope == 0:
            return self._keep_all_or_none(form.offset > bound)
        self.low = max(self.low, math.floor((bound - form.offset) / form.slope) + 1)

    def _keep_all_or_none(self, holds):
        if not holds:
            self.high = self.low - 1

    @property
    def empty(self):
        return self.high is not None and self.high < self.low


def used_mass(resolved, batches, factor, ingredient, demand):
    """Adds a recipe's component demands to `demand`; returns its use of X."""
    used = ZERO
    for line, mass in zip(resolved.recipe.lines, resolved.masses):
        form = (batches if line.scaling == "per-batch" else factor) * mass
        if line.component:
            demand[line.component] = demand.get(line.component, ZERO) + form
        elif line.ingredient == ingredient:
            used = used + form
    return used


def lower_bound(tree, limits, ingredient, unit_g):
    """An affine form that demand for X never falls below where a plan exists;
    None if some bowl is filled by its per-batch lines, so that no plan exists.

    B lies between M / K and M / K + 1 with K = F C - r, so phi is at least its
    value at whichever end the sign of r / F - I_f makes the smaller.
    """
    order = list(tree)
    demand = {order[-1]: Affine(unit_g, Fraction(0))}
    total = ZERO
    for recipe_id in reversed(order):
        net = demand.get(recipe_id, ZERO)
        if net == ZERO:
            continue
        written, limit = tree[recipe_id].written, limits[recipe_id]
        per_batch = written.residue_g / written.factor - written.fixed_g
        if limit.net_g is None:
            fewest = most = Affine(Fraction(0), Fraction(1))
        else:
            fewest = net * (1 / limit.net_g)
            most = fewest + Affine(Fraction(0), Fraction(1))
            if limit.input_g <= written.fixed_g:
                return None
        scaled = net * (1 / written.factor) + (fewest if per_batch >= 0 else most) * per_batch
        factor = scaled * (1 / written.scaling_g)
        total = total + used_mass(tree[recipe_id], fewest, factor, ingredient, demand)
    return total


def piece_at(tree, limits, ingredient, unit_g, d):
    """Around d: the window in which the batch counts stay as they are at d, the
    affine demand for X there, and the factors that must stay above 0."""
    order = list(tree)
    demand = {order[-1]: Affine(unit_g, Fraction(0))}
    window, total, factors = Window(1, d), ZERO, []
    for recipe_id in reversed(order):
        net = demand.get(recipe_id, ZERO)
        if net == ZERO:
            continue
        written, limit = tree[recipe_id].written, limits[recipe_id]
        batches = batch_count(net.at(d), limit)
        if batches > 1:
            window.above(net, (batches - 1) * limit.net_g)
        fixed = batches * (written.residue_g / written.factor - written.fixed_g)
        needed = net * (1 / written.factor) + Affine(Fraction(0), fixed)
        factor = needed * (1 / written.scaling_g)
        factors.append(factor)
        constant = Affine(Fraction(0), Fraction(batches))
        total = total + used_mass(tree[recipe_id], constant, factor, ingredient, demand)
    return window, total, factors


def best_in_piece(window, total, factors, on_hand_g):
    """The largest d of a window that can be made from what is on hand."""
    chosen = Window(window.low, window.high)
    chosen.at_most(total, on_hand_g)
    for factor in factors:
        chosen.above(factor, 0)
    return None if chosen.empty else chosen.high


def start_of_search(tree, limits, ingredient, unit_g, on_hand_g):
    """A d above which demand certainly exceeds what is on hand; 0 for none."""
    bound = lower_bound(tree, limits, ingredient, unit_g)
    if bound is None:
        return 0
    if bound.slope == 0:
        # Demand is one constant: any d tells it.
        if piece_at(tree, limits, ingredient, unit_g, 1)[1].offset > on_hand_g:
            return 0
        raise Refused("on-hand-no-limit", f"`{ingredient}` does not limit how much can be made")
    return max(0, math.floor((on_hand_g - bound.offset) / bound.slope))


def uses(tree, ingredient):
    """Whether any line of a tree weighs out the ingredient."""
    return any(
        line.ingredient == ingredient and mass > 0
        for resolved in tree.values()
        for line, mass in zip(resolved.recipe.lines, resolved.masses)
    )


def search(tree, limits, ingredient, unit_g, on_hand_g, low, high):
    """The largest d of low..high that can be made, or None."""
    if low > high or least_demand(tree, limits, ingredient, low * unit_g, high * unit_g) > on_hand_g:
        return None
    window, total, factors = piece_at(tree, limits, ingredient, unit_g, high)
    best = best_in_piece(window, total, factors, on_hand_g)
    if best is not None:
        return best if best >= low else None
    high = window.low - 1
    middle = (low + high) // 2
    rest = (tree, limits, ingredient, unit_g, on_hand_g)
    return search(*rest, middle + 1, high) or search(*rest, low, min(middle, high))


def largest_makeable(tree, limits, ingredient, on_hand_g):
    """The largest whole number of pieces (of grams, for a recipe by mass) whose
    edible demand for the ingredient is at most `on_hand_g`."""
    if not uses(tree, ingredient):
        raise Refused("on-hand-not-used", f"`{ingredient}` is not used")
    root = list(tree)[-1]
    unit_g = tree[root].written.piece_g or Fraction(1)
    start = start_of_search(tree, limits, ingredient, unit_g, on_hand_g)
    best = search(tree, limits, ingredient, unit_g, on_hand_g, 1, start)
    if best is None:
        raise Refused("on-hand-too-little", f"what is on hand of `{ingredient}` makes nothing")
    return best
