"""Which price is used, packs, currencies (rules 6)."""

from ..build import PANTRY, asking, book, ingredient, line, price, rate, recipe, site

TITLE = "Prices and currencies"

RECIPES = [
    recipe(f"of-{what}", line(what, "1 kg"))
    for what in ("butter", "egg", "flour", "honey", "milk", "pear", "salt", "sugar", "tea", "rice", "oats", "rye")
]
SITES = [
    site("harbour", currency="EUR"),
    site("millrace", currency="GBP"),
    site("pier", currency="CHF"),
    site("station"),
]
GROUP = {
    "price": [
        # butter: the day, then the newest.
        price("butter", "10 kg", "70 EUR", "2026-01-01"),
        price("butter", "10 kg", "78.40 EUR", "2026-10-01"),
        # egg: a pack by count; milk: a pack by volume.
        price("egg", "30 pieces", "7.20 EUR", "2026-01-01"),
        price("milk", "5 L", "4.85 EUR", "2026-01-01"),
        # flour: of one day the preferred; sugar: the cheapest by the gram.
        price("flour", "25 kg", "20 EUR", "2026-01-01", supplier="mill-1"),
        price("flour", "25 kg", "24 EUR", "2026-01-01", supplier="mill-2", preferred=True),
        price("sugar", "25 kg", "30 EUR", "2026-01-01", supplier="sugar-1"),
        price("sugar", "1 kg", "1.19 EUR", "2026-01-01", supplier="sugar-2"),
        # salt: equal by the gram, so the supplier's id decides.
        price("salt", "1 kg", "0.80 EUR", "2026-01-01", supplier="salt-2"),
        price("salt", "500 g", "0.40 EUR", "2026-01-01", supplier="salt-1"),
        # honey: the site has its own, older and dearer.
        price("honey", "12.5 kg", "100 EUR", "2026-09-01"),
        # pear: in pounds sterling. tea: in a currency without a rate.
        price("pear", "20 kg", "36.90 GBP", "2026-01-01"),
        price("tea", "1 kg", "30 USD", "2026-01-01"),
        # rice: the newest has no usable rate. oats: only the opposite rate is known.
        price("rice", "5 kg", "8 EUR", "2026-01-01"),
        price("rice", "5 kg", "9 USD", "2026-06-01"),
        price("oats", "10 kg", "18 CHF", "2026-01-01"),
        # rye: from a day to come.
        price("rye", "10 kg", "12 EUR", "2027-01-01"),
    ],
    "rate": [
        rate("GBP", "EUR", "1.15", "2026-01-01"),
        rate("GBP", "EUR", "1.17", "2026-10-01"),
        rate("EUR", "CHF", "0.94", "2026-01-01"),
    ],
}
HARBOUR = {
    "site": "harbour",
    "price": [
        price("honey", "1 kg", "9.90 EUR", "2025-01-01", supplier="bees"),
        # rice: its own has no usable rate, so that the group's count.
        price("rice", "1 kg", "2 USD", "2026-11-01"),
    ],
    "rate": [rate("GBP", "EUR", "1.2", "2026-02-01")],
}
MILLRACE = {"site": "millrace", "price": [price("butter", "1 kg", "1 GBP", "2026-01-01")]}
SHELVES = [*PANTRY, *(ingredient(i) for i in ("tea", "rice", "oats", "rye"))]
LISTS = {"group": GROUP, "harbour": HARBOUR, "millrace": MILLRACE}
BOOKS = {
    "prices": book(SHELVES, RECIPES, SITES, LISTS),
    "pack-by-volume": book(PANTRY, RECIPES[:1], SITES, {"group": {"price": [price("butter", "1 L", "9 EUR", "2026-01-01")]}}),
    "pack-by-count": book(PANTRY, RECIPES[:1], SITES, {"group": {"price": [price("butter", "4 pieces", "9 EUR", "2026-01-01")]}}),
}


def _cost(name, rule, what, site_id="harbour", on="2026-11-15", book_name="prices"):
    return asking("cost", book_name, site_id, on)(name, rule, f"of-{what}", mass="1 kg")


CHOICE, PACK, RATE = "6.3 price", "6.2 pack", "6.5 rate"
CASES = [
    _cost("the newest that holds by the day", CHOICE, "butter"),
    _cost("on its first day a price holds", CHOICE, "butter", on="2026-10-01"),
    _cost("the day before it doesn't", CHOICE, "butter", on="2026-09-30"),
    _cost("before any price it is missing", CHOICE, "butter", on="2025-12-31"),
    _cost("of one day the preferred, though dearer", CHOICE, "flour"),
    _cost("else the cheapest by the gram, whatever the pack", CHOICE, "sugar"),
    _cost("else the smaller supplier's id", CHOICE, "salt"),
    _cost("the site's own counts before the group's, though older and dearer", CHOICE, "honey"),
    _cost("another site's list doesn't count", "6.1 lists", "honey", "station"),
    _cost("without a currency a site has the group's", "6.4 currency", "butter", "station"),
    _cost("a price from a day to come is missing", CHOICE, "rye"),
    _cost("a pack by count is purchased pieces", PACK, "egg"),
    _cost("a pack by volume takes the density", PACK, "milk"),
    _cost("another currency by the site's own rate", RATE, "pear"),
    _cost("else by the group's newest rate", RATE, "pear", "station"),
    _cost("the rate of the day", RATE, "pear", "station", "2026-09-30"),
    _cost("a price in the site's own currency needs no rate", RATE, "pear", "millrace"),
    _cost("the inverse of the opposite rate", RATE, "oats"),
    _cost("to another site's currency by the inverse", RATE, "butter", "pier"),
    _cost("without a rate the price is missing", RATE, "tea"),
    _cost("a price without a rate gives way to an older one", RATE, "rice", "station"),
    _cost("a site's price without a rate gives way to the group's", RATE, "rice"),
    _cost("a pack by volume without a density is refused", PACK, "butter", book_name="pack-by-volume"),
    _cost("a pack by count without a piece mass is refused", PACK, "butter", book_name="pack-by-count"),
]
