"""Targets that put a figure exactly on half of its last digit.

For fixed batch counts every mass and sum in a plan is affine in the root's net
mass. So two probes give the slope, and the mass for which the figure is a tie
follows; it counts only if a third probe confirms it.
"""

from fractions import Fraction

from ..cost import cost_plan
from ..errors import Refused
from ..plan import batch_limits, make_plan
from ..quantities import minor_digits
from ..targets import Target
from ..weigh import choose_scale
from . import amounts

MILLIGRAM = Fraction(1, 1000)
PROBE = Fraction(1001, 1000)


class Probe:
    """Plans of one tree at one site by net mass of the root."""

    def __init__(self, book, tree, site, market=None):
        self.book = book
        self.tree = tree
        self.site = site
        self.market = market
        self.limits = batch_limits(tree, site)

    def plan(self, net_g):
        """The plan for a net mass, or None if it is refused."""
        try:
            return make_plan(self.tree, self.limits, net_g) if net_g > 0 else None
        except Refused:
            return None


def _line_mass(item, line):
    return lambda plan: plan[item].masses[line]


def _per_batch(item, line):
    return lambda plan: plan[item].masses[line] / plan[item].batches


def _mass_figures(rng, probe, planned):
    """Figures of a plan and the step of their last shown digit."""
    item = rng.randrange(len(planned))
    weighed = [n for n, mass in enumerate(planned[item].masses) if mass > 0]
    line = rng.choice(weighed)
    figures = [
        (_line_mass(item, line), MILLIGRAM),
        (_per_batch(item, line), MILLIGRAM),
        (lambda plan: plan[item].input_g, MILLIGRAM),
        (lambda plan: plan[item].net_g, MILLIGRAM),
        (lambda plan: plan[item].factor, Fraction(1, 10**6)),
    ]
    if planned[item].pieces is not None:
        figures.append((lambda plan: plan[item].pieces, MILLIGRAM))
    if probe.site and probe.site.scales:
        figures += [_reading(probe, planned, item, line)] * 4
    return figures


def _reading(probe, planned, item, line):
    """The mass of one weighing, tied at half of the scale's increment."""
    per_batch = _per_batch(item, line)
    scale, count = choose_scale(probe.site.scales, per_batch(planned))
    return (lambda plan: per_batch(plan) / count, scale.increment)


def _money_figures(probe, planned):
    """Sums of money and the minor unit."""
    step = Fraction(1, 10 ** minor_digits(probe.market.currency))

    def costing(plan):
        return cost_plan(probe.book, probe.market, plan)

    figures = [(lambda plan: costing(plan).total, step), (lambda plan: costing(plan).labour, step)]
    for index, entry in enumerate(costing(planned).ingredients):
        if entry.cost:
            figures.append((lambda plan, n=index: costing(plan).ingredients[n].cost, step))
    return figures


def _solve(probe, net_g, figure, step):
    """The net mass near `net_g` for which the figure is a tie, or None."""
    first, second = probe.plan(net_g), probe.plan(net_g * PROBE)
    if first is None or second is None:
        return None
    here = figure(first)
    slope = (figure(second) - here) / (net_g * (PROBE - 1))
    if slope == 0:
        return None
    tie = (here // step) * step + step / 2
    found = net_g + (tie - here) / slope
    confirmed = probe.plan(found) if amounts.is_short(found) else None
    return found if confirmed is not None and figure(confirmed) == tie else None


def _as_target(rng, written, net_g):
    """The same demand in one of the ways to ask for it."""
    ways = [Target("mass_g", net_g), Target("factor", net_g / written.net_g)]
    if written.piece_g is not None:
        ways.append(Target("pieces", net_g / written.piece_g))
    return rng.choice([w for w in ways if amounts.is_short(w.value)])


def tie_target(rng, probe):
    """A target that forces a rounding tie, or None if a few tries find none."""
    written = list(probe.tree.values())[-1].written
    for _ in range(4):
        net_g = amounts.rounded_to(written.net_g * Fraction(rng.randint(5, 400), 100), 1)
        planned = probe.plan(net_g)
        if planned is None:
            continue
        if probe.market is not None and rng.random() < 0.7:
            figures = _money_figures(probe, planned)
        else:
            figures = _mass_figures(rng, probe, planned)
        found = _solve(probe, net_g, *rng.choice(figures))
        if found is not None:
            return _as_target(rng, written, found)
    return None
