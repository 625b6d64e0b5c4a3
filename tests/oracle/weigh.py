"""How a site weighs a line (section 6)."""

from dataclasses import dataclass
from fractions import Fraction

from .quantities import ceiling, half_away


@dataclass(frozen=True, slots=True)
class Weighing:
    """One line of one batch on one scale."""

    scale: str
    weighings: int
    reading_g: Fraction
    error: Fraction
    flag: str | None


def choose_scale(scales, mass_g):
    """The scale and the number of weighings. Full ties: the first listed."""
    able = [s for s in scales if s.capacity >= mass_g]
    if able:
        return min(able, key=lambda s: (s.increment, s.capacity)), 1
    largest = min(scales, key=lambda s: (-s.capacity, s.increment))
    return largest, ceiling(mass_g / largest.capacity)


def weigh(site, mass_g, tolerance):
    """The weigh-up of a batch line; None where nothing can be weighed."""
    if site is None or not site.scales or mass_g == 0:
        return None
    scale, count = choose_scale(site.scales, mass_g)
    reading = half_away(mass_g / count / scale.increment) * scale.increment
    error = abs(count * reading - mass_g) / mass_g
    flag = "reads-zero" if reading == 0 else "over-tolerance" if error > tolerance else None
    return Weighing(scale.name, count, reading, error, flag)
