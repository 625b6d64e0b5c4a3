"""Price lists with ties, several dates, foreign money, rates and gaps."""

from datetime import date

DAYS = [date(2026, 1, 1), date(2026, 4, 1), date(2026, 7, 1), date(2026, 10, 1), date(2026, 12, 31)]
MASS_PACKS = ["10 kg", "25 kg", "1 kg", "500 g", "5 kg", "2.5 kg", "50 lb", "12 oz", "1 lb", "250 g"]
VOLUME_PACKS = ["5 L", "1 L", "1 gal", "750 mL", "1 imp-pt", "1/2 gal"]
COUNT_PACKS = ["30 pieces", "180 pieces", "12 pieces", "1 pieces"]
PRICES = ["78.40", "12.50", "3.99", "9", "1.15", "24.99", "0.85", "7.10", "140"]
YEN = ["9800", "1250", "980", "15500", "333"]
SUPPLIERS = ["dairy-1", "mill-2", "orchard-1", "apiary-1", "dry-goods-3"]
FOREIGN = ["GBP", "USD", "JPY", "CHF"]
RATES = {
    ("GBP", "EUR"): ["1.17", "1.165", "1.2"],
    ("EUR", "GBP"): ["0.85", "0.8625"],
    ("USD", "EUR"): ["0.92", "0.9"],
    ("EUR", "USD"): ["1.08", "1.1"],
    ("EUR", "JPY"): ["163.5", "165"],
    ("JPY", "EUR"): ["0.0061", "0.00625"],
    ("CHF", "EUR"): ["1.06", "1.0575"],
    ("USD", "GBP"): ["0.78"],
}


def _packs(item):
    packs = [MASS_PACKS] * 3
    packs += [VOLUME_PACKS] if item.density else []
    packs += [COUNT_PACKS] * 2 if item.piece_mass else []
    return packs


def _price(rng, item, currency):
    if rng.random() < 0.1:
        currency = rng.choice(FOREIGN)
    entry = {
        "ingredient": item.id,
        "pack": rng.choice(rng.choice(_packs(item))),
        "price": f"{rng.choice(YEN if currency == 'JPY' else PRICES)} {currency}",
        "from": rng.choice(DAYS),
    }
    if rng.random() < 0.6:
        entry["supplier"] = rng.choice(SUPPLIERS)
    if rng.random() < 0.2:
        entry["preferred"] = True
    return entry


def _tied(rng, entry):
    """The same price per gram from the same day, in two packs of one."""
    number, _, unit = entry["pack"].partition(" ")
    price, _, currency = entry["price"].partition(" ")
    if " " in unit or " " in currency or "." in number + price or "/" in number + price:
        return None
    twin = dict(entry, pack=f"{2 * int(number)} {unit}", price=f"{2 * int(price)} {currency}")
    twin["supplier"] = rng.choice([s for s in SUPPLIERS if s != entry.get("supplier")])
    return twin


def _entries(rng, item, currency):
    entries = [_price(rng, item, currency) for _ in range(rng.choice([1, 1, 2, 3, 4]))]
    if rng.random() < 0.85:
        entries[0]["from"] = DAYS[0]
    if rng.random() < 0.25:
        day = entries[0]["from"]
        entries += [dict(_price(rng, item, currency), **{"from": day}) for _ in range(2)]
    if rng.random() < 0.4:
        entries += [t for t in [_tied(rng, entries[-1])] if t]
    rng.shuffle(entries)
    return entries


def _rates(rng):
    rates = []
    for (source, target), values in RATES.items():
        # A list with two rates of one pair and day is refused as a book.
        for day in rng.sample(DAYS, rng.choice([0, 1, 1, 2])):
            rates.append({"from": source, "to": target, "rate": rng.choice(values), "on": day})
    return rates


def _list(rng, kitchen, share, currency, site=None):
    doc = {} if site is None else {"site": site}
    prices = []
    for ingredient_id in sorted(kitchen.book.ingredients):
        if rng.random() < share:
            prices += _entries(rng, kitchen.book.ingredients[ingredient_id], currency)
    rates = _rates(rng)
    doc |= {"price": prices} if prices else {}
    doc |= {"rate": rates} if rates else {}
    return doc


def price_documents(rng, kitchen, sites, currency):
    """Lists by file stem: the group's, sometimes two of them, and some sites'."""
    share = rng.choice([1, 1, 1, 1, 0.97, 0.8])
    lists = {"group": _list(rng, kitchen, share, currency)}
    if rng.random() < 0.2:
        lists["autumn"] = _list(rng, kitchen, 0.4, currency)
    for site in sites:
        if rng.random() < 0.6:
            own = site.get("currency", currency)
            lists[site["id"]] = _list(rng, kitchen, 0.3, own, site["id"])
    return {stem: doc for stem, doc in lists.items() if doc}
