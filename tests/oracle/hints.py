"""What helps where a site can't weigh a line as the standard asks (rule 5.4)."""

from fractions import Fraction

from .plan import capacity
from .quantities import ceiling, figure
from .weigh import choose_scale

MASS, FACTOR = 3, 6
MOST_WATER, MOST_FAT = 15, 25


def _kind(ingredient):
    """0 for what is dry, 1 for what pours, None for what carries nothing."""
    water, fat = ingredient.content.get("water"), ingredient.content.get("fat")
    if water is not None and fat is not None and water <= MOST_WATER and fat <= MOST_FAT:
        return 0
    return None if ingredient.density is None else 1


def _carriers(book, item, line):
    """Other ingredients of the line's step that can carry it: the heaviest of each kind, the dry
    one first."""
    found = {}
    for other, mass in zip(item.recipe.lines, item.masses):
        if other.ingredient is None or other.ingredient == line.ingredient or other.step != line.step:
            continue
        kind = _kind(book.ingredients[other.ingredient])
        if kind is not None and (kind not in found or mass > found[kind][1]):
            found[kind] = other, mass
    return [(other, mass / item.batches) for _, (other, mass) in sorted(found.items())]


def _pre_mix(book, item, line, total, scale, enough):
    mass = total / item.batches
    parts = ceiling(enough / mass) - 1
    for carrier, there in _carriers(book, item, line):
        if parts < 1 or parts * mass > there:
            continue
        into = ceiling(max(enough, total) / scale.increment) * scale.increment
        yield {
            "code": "pre-mix",
            "carrier_line": carrier.number,
            "weigh_g": figure(into, MASS),
            "carrier_g": figure(parts * into, MASS),
            "take_g": figure((parts + 1) * mass, MASS),
        }
        return


def hints_json(book, item, line, site):
    """The advice on one line that can't be weighed."""
    if line.tolerance == 0:
        return []
    total = item.masses[line.number - 1]
    mass = total / item.batches
    hints = [{"code": "finer-scale", "increment_g": figure(2 * line.tolerance * mass, MASS)}]
    scale, _ = choose_scale(site.scales, mass)
    enough = scale.increment / (2 * line.tolerance)
    if enough > scale.capacity:
        return hints
    bowl, times = capacity(item.recipe, site), enough / mass
    if bowl is None or times <= bowl / (item.input_g / item.batches):
        hints.append({
            "code": "larger-batch",
            "times": figure(Fraction(times), FACTOR),
            "mass_g": figure(enough, MASS),
        })
    hints.extend(_pre_mix(book, item, line, total, scale, enough))
    return hints
