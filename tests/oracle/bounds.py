"""The least demand for an ingredient over an interval of root demands.

Every recipe gets an interval for its net mass M. B = max(1, ceil(M / K)) grows
with M; phi = (M / F + B g) / I_p with g = r / F - I_f grows between the steps of
B and jumps by g at each. So its extremes over an interval lie at the ends or at
the first and the last step inside. Only demands that can be planned count:
their masses and factors are above 0, so that lower ends are cut there.
"""

from dataclasses import dataclass
from fractions import Fraction

from .plan import batch_count, proportional_factor


@dataclass(frozen=True, slots=True)
class Span:
    """All values from `low` to `high`."""

    low: Fraction
    high: Fraction

    def __add__(self, other):
        return Span(self.low + other.low, self.high + other.high)

    def __mul__(self, factor):
        return Span(self.low * factor, self.high * factor)


NOTHING = Span(Fraction(0), Fraction(0))


def _batches(net, limit):
    return Span(batch_count(net.low, limit), batch_count(net.high, limit))


def _factors(written, limit, net, batches):
    """The span of phi, cut at 0; its infimum may belong to no demand."""
    ends = [
        proportional_factor(written, net.low, batches.low),
        proportional_factor(written, net.high, batches.high),
    ]
    if batches.low < batches.high:
        first, last = batches.low * limit.net_g, (batches.high - 1) * limit.net_g
        ends.append(proportional_factor(written, first, batches.low + 1))
        ends.append(proportional_factor(written, last, batches.high - 1))
    return Span(max(min(ends), Fraction(0)), max(max(ends), Fraction(0)))


def least_demand(tree, limits, ingredient, low_g, high_g):
    """A mass of the ingredient that no plannable demand of low_g..high_g goes
    below, in edible grams."""
    order = list(tree)
    demand = {order[-1]: Span(low_g, high_g)}
    least = Fraction(0)
    for recipe_id in reversed(order):
        net = demand.get(recipe_id, NOTHING)
        if net == NOTHING:
            continue
        resolved = tree[recipe_id]
        batches = _batches(net, limits[recipe_id])
        factors = _factors(resolved.written, limits[recipe_id], net, batches)
        for line, mass in zip(resolved.recipe.lines, resolved.masses):
            used = (batches if line.scaling == "per-batch" else factors) * mass
            if line.component:
                demand[line.component] = demand.get(line.component, NOTHING) + used
            elif line.ingredient == ingredient:
                least += used.low
    return least
