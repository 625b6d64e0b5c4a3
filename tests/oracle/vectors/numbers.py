"""Operations on numbers and quantities."""

from fractions import Fraction

from .. import quantities as q
from ..quantities import expect, figure, fixed

# What a quantity is given in, and its decimals when it is shown.
READERS = {
    "mass": ("g", 3, lambda text: expect(text, "mass")),
    "volume": ("ml", 3, lambda text: expect(text, "volume")),
    "length": ("mm", 3, lambda text: expect(text, "length") * 10),
    "time": ("min", 3, lambda text: expect(text, "time")),
    "count": ("pieces", 3, lambda text: expect(text, "count")),
    "share": ("percent", 2, lambda text: expect(text, "share") * 100),
    "density": ("g_per_ml", 4, q.density),
    "temperature": ("celsius", 2, q.temperature),
}


def read_number(given):
    """An authored number."""
    return figure(q.number(given["text"]), given.get("decimals", 6))


def read_quantity(given):
    """An authored quantity in the unit that results use."""
    unit, places, read = READERS[given["dimension"]]
    return {unit: figure(read(given["text"]), places)}


def read_money(given):
    """An authored price, shown at its currency's minor unit."""
    found = q.money(given["text"])
    return {"amount": figure(found.value, q.minor_digits(found.currency)), "currency": found.currency}


def round_number(given):
    """An exact number with so many decimals."""
    return {"rounded": fixed(Fraction(given["exact"]), given["decimals"])}
