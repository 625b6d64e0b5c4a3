"""Operations of the bench: dough, set, air, syrup, formulas, eggs."""

from .. import dough, syrup
from ..quantities import density, difference, expect, figure, number, temperature

MASS, DENSITY, PERCENT, CELSIUS, FACTOR, PIECES = 3, 4, 2, 2, 6, 3


def _mass(text):
    return expect(text, "mass")


def _share(text):
    return expect(text, "share")


def _percent(share):
    return figure(share * 100, PERCENT)


# Dough temperature.


def _bowl(given):
    preferment = given.get("preferment")
    temperatures = temperature(given["flour"]), temperature(given["room"])
    return dough.Bowl(*temperatures, None if preferment is None else temperature(preferment))


def dough_water(given):
    """The water's temperature for a dough's."""
    friction = difference(given["friction"])
    if "mixing" in given:  # the friction is one of each minute
        friction *= expect(given["mixing"], "time")
    found = _bowl(given).water(temperature(given["dough"]), friction)
    return {"water_celsius": figure(found, CELSIUS)}


def dough_friction(given):
    """What a measured dough says of a mixer: a difference, of degrees Celsius."""
    found = _bowl(given).friction(temperature(given["dough"]), temperature(given["water"]))
    return {"friction_celsius": figure(found, CELSIUS)}


def ice(given):
    """Ice in place of water, or on top of it."""
    way = {"in-place": dough.ice_in_place, "on-top": dough.ice_on_top}[given["way"]]
    melting = dough.MELTING[given["melting"]]
    tap, wanted = temperature(given["tap"]), temperature(given["wanted"])
    found, water = way(_mass(given["water"]), tap, wanted, melting)
    return {"ice_g": figure(found, MASS), "water_g": figure(water, MASS)}


# Set and air.


def _root(square):
    """A figure by its square; its exact form where it has one."""
    exact = dough.rational_root(square)
    stated = {} if exact is None else {"exact": str(exact)}
    return {"square": str(square), **stated, "rounded": dough.root_rounded(square, MASS)}


def gelatine(given):
    """The own gelatine for the recipe's."""
    blooms = number(given["recipe_bloom"]), number(given["own_bloom"])
    return {"mass_g": _root(dough.exchange_gelatine(given["rule"], _mass(given["mass"]), *blooms))}


def gelatine_sheets(given):
    """Sheets of a grade for a mass, or the mass of sheets."""
    sheet = dough.SHEETS[given["grade"]]
    if "mass" in given:
        return {"sheets": figure(dough.positive(_mass(given["mass"])) / sheet, PIECES)}
    return {"mass_g": figure(dough.positive(number(given["sheets"])) * sheet, MASS)}


def overrun(given):
    """The air in a product, by the weight of one measure of it and of its mix."""
    return {"overrun_percent": _percent(dough.overrun(_mass(given["mix"]), _mass(given["product"])))}


def aerated(given):
    """A measure, or a density, with the air in it."""
    share = _share(given["overrun"])
    if "mass" in given:
        return {"mass_g": figure(dough.aerated(_mass(given["mass"]), share), MASS)}
    return {"g_per_ml": figure(dough.aerated(density(given["density"]), share), DENSITY)}


def before_air(given):
    """The density of the mix behind a product."""
    found = dough.before_air(density(given["density"]), _share(given["overrun"]))
    return {"g_per_ml": figure(found, DENSITY)}


# Syrup. A strength is authored in percent; 1 % is 1 degree Brix.


def _strength(text):
    return syrup.checked(_share(text))


def syrup_of(given):
    """The strength of sugar in water, and its sugar for 100 g of water."""
    strength = syrup.of(_mass(given["sugar"]), _mass(given["water"]))
    ratio = syrup.per_100_of_water(strength)
    return {
        "brix": _percent(strength),
        "sugar_per_100_g_water": None if ratio is None else figure(ratio, MASS),
    }


def syrup_mix(given):
    parts = [(_mass(one["mass"]), _strength(one["strength"])) for one in given["parts"]]
    return {"brix": _percent(syrup.mix(parts))}


def syrup_bring_to(given):
    """What brings a syrup to a strength."""
    add, mass = syrup.bring_to(_mass(given["syrup"]), _strength(given["from"]), _strength(given["to"]))
    return {"add": add, "mass_g": figure(mass, MASS)}


def syrup_boil_down(given):
    """The water to boil off."""
    water, left = syrup.boil_down(_mass(given["syrup"]), _strength(given["from"]), _strength(given["to"]))
    return {"water_g": figure(water, MASS), "left_g": figure(left, MASS)}


def syrup_boils_at(given):
    return {"celsius": figure(syrup.boiling_point(_strength(given["strength"])), CELSIUS)}


def syrup_that_boils_at(given):
    return {"brix": _percent(syrup.boiling_strength(temperature(given["temperature"])))}


def syrup_saturated_at(given):
    return {"brix": _percent(syrup.saturation(temperature(given["temperature"])))}


def syrup_crystallises_below(given):
    return {"celsius": figure(syrup.saturation_temperature(_strength(given["strength"])), CELSIUS)}


def sugar_stage(given):
    """The stages of cooked sugar around a temperature."""
    altitude = expect(given.get("altitude", "0 m"), "length")
    at, passed, ahead = syrup.stage_at(temperature(given["temperature"]), altitude)
    return {"at": at, "passed": passed, "next": ahead}


def sugar_stage_range(given):
    """From what temperature to what a stage lasts."""
    altitude = expect(given.get("altitude", "0 m"), "length")
    ranges = {name: (first, last) for name, first, last in syrup.stages(altitude)}
    first, last = ranges[given["stage"]]
    return {"from_celsius": figure(first, CELSIUS), "to_celsius": figure(last, CELSIUS)}


# Formulas.


def percentages(given):
    """A formula in baker's percentages."""
    lines = [(_mass(one["mass"]), one.get("base", False)) for one in given["lines"]]
    base, shares, total = dough.percentages(lines)
    return {
        "base_g": figure(base, MASS),
        "percent": [_percent(share) for share in shares],
        "total_percent": _percent(total),
    }


def weights(given):
    """A formula's masses for a total, or for a base."""
    shares = [_share(text) for text in given["percent"]]
    if "total" in given:
        base, masses = dough.weights_for_total(shares, _mass(given["total"]))
    else:
        base = _mass(given["base"])
        masses = dough.weights_for_base(shares, base)
    return {
        "base_g": figure(base, MASS),
        "masses_g": [figure(mass, MASS) for mass in masses],
        "total_g": figure(sum(masses), MASS),
    }


def hydration(given):
    lines = [
        (_mass(one["mass"]), one.get("base", False), _share(one.get("water", "0 %")))
        for one in given["lines"]
    ]
    return {"hydration_percent": _percent(dough.hydration(lines))}


def blend(given):
    """The parts of two that make a third, and their masses in a total."""
    parts = dough.blend(*(_share(given[key]) for key in ("first", "second", "target")))
    total = _mass(given["total"])
    first, second = parts
    return {
        "first_percent": _percent(first),
        "second_percent": _percent(second),
        "first_g": figure(first * total, MASS),
        "second_g": figure(second * total, MASS),
    }


def eggs(given):
    """How many US eggs, or parts of large ones, a shelled mass takes."""
    each = dough.EGGS[given["size"]] if "size" in given else dough.EGG_PARTS[given["part"]]
    return {"eggs": figure(dough.positive(_mass(given["mass"])) / each, PIECES)}


def egg_class(given):
    """The European class of an egg in its shell."""
    return {"class": dough.egg_class(_mass(given["in_shell"]))}
