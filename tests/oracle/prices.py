"""Which price holds at a site on a day, and what it is worth there (section 7)."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from .book import Price
from .errors import Refused
from .quantities import Money


@dataclass(frozen=True, slots=True)
class Offer:
    """A usable price: the purchased mass of its pack and its price in the
    currency of the site."""

    price: Price
    pack_g: Fraction
    converted: Fraction

    @property
    def per_gram(self):
        return self.converted / self.pack_g


class Market:
    """The price lists as one site sees them on one day."""

    def __init__(self, book, site, day: date):
        self.book = book
        self.site = site
        self.day = day
        self.currency = site.currency or book.currency
        self._chosen = {}

    def _tiers(self, entries):
        """Entries that hold by the day: the site's own, then the group's."""
        holding = [e for e in entries if e.start <= self.day]
        return (
            [e for e in holding if e.site == self.site.id],
            [e for e in holding if e.site is None],
        )

    def _rate(self, source, target):
        """The newest rate; of several of one day, the last written."""
        for tier in self._tiers(self.book.rates):
            found = [r for r in tier if r.source == source and r.target == target]
            if found:
                newest = max(r.start for r in found)
                return [r for r in found if r.start == newest][-1].rate
        return None

    def convert(self, money: Money):
        """An amount in the site's currency, or None without a rate. The inverse
        of the opposite rate serves where no direct one holds in any list."""
        if money.currency == self.currency:
            return money.value
        direct = self._rate(money.currency, self.currency)
        if direct is not None:
            return money.value * direct
        opposite = self._rate(self.currency, money.currency)
        return None if opposite is None else money.value / opposite

    def _pack_mass(self, price):
        """The purchased mass of a pack."""
        item = self.book.ingredients[price.ingredient]
        kind, value = price.pack.dimension, price.pack.value
        if kind == "mass":
            return value
        if kind == "volume":
            if item.density is None:
                raise Refused("missing-density", f"a pack of `{item.id}` is a volume, it states no density")
            return value * item.density
        if kind == "count":
            if item.piece_mass is None:
                raise Refused("missing-piece-mass", f"a pack of `{item.id}` is counted, it states no piece mass")
            return value * item.piece_mass / item.edible_yield
        raise Refused("wrong-dimension", f"a pack of `{item.id}` can't be a {kind}")

    def _offers(self, entries):
        offers = []
        for price in entries:
            converted = self.convert(price.price)
            if converted is not None:
                offers.append(Offer(price, self._pack_mass(price), converted))
        return offers

    def _choose(self, ingredient):
        entries = [p for p in self.book.prices if p.ingredient == ingredient]
        for tier in self._tiers(entries):
            offers = self._offers(tier)
            if offers:
                newest = max(o.price.start for o in offers)
                return min((o for o in offers if o.price.start == newest), key=_rank)
        return None

    def offer(self, ingredient):
        """The price used for an ingredient, or None."""
        if ingredient not in self._chosen:
            self._chosen[ingredient] = self._choose(ingredient)
        return self._chosen[ingredient]


def _rank(offer):
    """Preferred, cheapest, no supplier before any, supplier id; then as written."""
    return (not offer.price.preferred, offer.per_gram, offer.price.supplier or "")
