"""The authored book as values: a folder of TOML, or its texts by path.

Only what scale, cost and declare need is read; other keys belong to other checks.
"""

import tomllib
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from pathlib import Path, PurePosixPath

from . import quantities as q
from . import shapes

FOLDERS = ("ingredients", "recipes", "sites", "prices")
DEFAULT_TOLERANCE = Fraction(2, 100)


@dataclass(frozen=True, slots=True)
class Ingredient:
    id: str
    density: Fraction | None
    piece_mass: Fraction | None
    edible_yield: Fraction
    name: dict  # by language
    label_name: dict
    allergens: dict  # stated states by code
    other_allergens: str | None
    content: dict  # grams per 100 g by nutrient, where stated


@dataclass(frozen=True, slots=True)
class Stage:
    """A loss of a share of the mass."""

    name: str | None
    kind: str
    fraction: Fraction


@dataclass(frozen=True, slots=True)
class Line:
    number: int
    ingredient: str | None
    component: str | None
    amount: q.Quantity | None  # None is "to taste", a shape is its volume
    base: bool
    scaling: str
    tolerance: Fraction
    step: str | None


@dataclass(frozen=True, slots=True)
class Step:
    active: Fraction  # minutes
    labour: str


@dataclass(frozen=True, slots=True)
class Recipe:
    id: str
    density: Fraction | None
    lines: tuple
    steps: tuple
    fractions: tuple  # the share lost at each stage, in order, and as offcut of sheets
    stages: tuple  # the stages alone, with their kinds
    residue: Fraction
    yield_mass: Fraction | None
    yield_pieces: Fraction | None
    piece_mass: Fraction | None
    piece_ml: Fraction | None  # of a piece whose thickness is stated
    batch_max: Fraction | None
    batch_min: Fraction | None
    equipment: str | None
    occupies: tuple  # all classes of equipment, the batch's before the steps', each once
    outline: object | None  # of one piece, seen from above


@dataclass(frozen=True, slots=True)
class Scale:
    name: str
    capacity: Fraction
    increment: Fraction


@dataclass(frozen=True, slots=True)
class Trays:
    """The trays of one load; what one takes, in pieces or as a tray by its sides."""

    equipment: str
    per_load: int
    per_tray: int | None
    tray: shapes.Tray | None


@dataclass(frozen=True, slots=True)
class Site:
    id: str
    currency: str | None
    labour_rate: q.Money | None
    scales: tuple
    equipment: tuple  # (class, capacity in grams)
    trays: tuple = ()  # of the equipment that takes any


@dataclass(frozen=True, slots=True)
class Price:
    list: str
    site: str | None
    ingredient: str
    pack: q.Quantity
    price: q.Money
    start: date
    supplier: str | None
    preferred: bool


@dataclass(frozen=True, slots=True)
class Rate:
    site: str | None
    source: str
    target: str
    rate: Fraction
    start: date


@dataclass(frozen=True, slots=True)
class Book:
    currency: str
    languages: tuple
    ingredients: dict
    recipes: dict
    sites: dict
    prices: tuple
    rates: tuple
    # Recipes whose masses are known already, by id; whoever resolves them keeps them here.
    resolved: dict = field(default_factory=dict, compare=False, repr=False)


def load_folder(folder):
    """A book from disk."""
    root = Path(folder)
    paths = [root / "book.toml"]
    for name in FOLDERS:
        paths += (root / name).glob("*.toml")
    return load_texts({p.relative_to(root).as_posix(): p.read_text("utf-8") for p in paths})


def load_texts(files):
    """A book from texts by path."""
    return from_documents({path: tomllib.loads(text) for path, text in files.items()})


def from_documents(documents):
    """A book from parsed TOML by path; files count in the order of their paths."""
    inside = {name: [] for name in FOLDERS}
    for path in sorted(documents):
        parts = PurePosixPath(path).parts
        if len(parts) == 2 and parts[0] in inside:
            inside[parts[0]].append((PurePosixPath(path).stem, documents[path]))
    ingredients = [
        ingredient(item) for _, doc in inside["ingredients"] for item in doc.get("ingredient", [])
    ]
    recipes = [recipe(doc) for _, doc in inside["recipes"]]
    sites = [site(doc) for _, doc in inside["sites"]]
    prices = [price(stem, doc, p) for stem, doc in inside["prices"] for p in doc.get("price", [])]
    rates = [rate(doc, r) for _, doc in inside["prices"] for r in doc.get("rate", [])]
    return Book(
        currency=documents["book.toml"]["currency"],
        languages=tuple(documents["book.toml"].get("languages", ["en"])),
        ingredients={i.id: i for i in ingredients},
        recipes={r.id: r for r in recipes},
        sites={s.id: s for s in sites},
        prices=tuple(prices),
        rates=tuple(rates),
    )


def _optional(doc, key, parse, *rest):
    return parse(doc[key], *rest) if key in doc else None


def ingredient(doc):
    """One `[[ingredient]]`."""
    return Ingredient(
        id=doc["id"],
        density=_optional(doc, "density", q.density),
        piece_mass=_optional(doc, "piece_mass", q.expect, "mass"),
        edible_yield=q.expect(doc.get("edible_yield", "100 %"), "share"),
        name=doc["name"],
        label_name=doc.get("label_name", {}),
        allergens=doc.get("allergens", {}),
        other_allergens=doc.get("other_allergens"),
        content={n: q.expect(text, "mass") for n, text in doc.get("content", {}).items()},
    )


def stage(doc):
    """One `[[loss]]` that takes a share."""
    return Stage(doc.get("stage"), doc["kind"], q.expect(doc["fraction"], "share"))


def line(number, doc):
    """One `[[line]]`, numbered from 1."""
    amount = doc["amount"]
    return Line(
        number=number,
        ingredient=doc.get("ingredient"),
        component=doc.get("component"),
        amount=_amount(amount),
        base=doc.get("base", False),
        scaling=doc.get("scaling", "proportional"),
        tolerance=q.expect(doc["tolerance"], "share") if "tolerance" in doc else DEFAULT_TOLERANCE,
        step=doc.get("step"),
    )


def _amount(authored):
    if authored == "to taste":
        return None
    return shapes.amount(authored) if isinstance(authored, dict) else q.quantity(authored)


def step(doc):
    """One `[[step]]`: what it costs in hands."""
    return Step(
        active=q.expect(doc.get("active", "0 min"), "time"),
        labour=doc.get("labour", "per-batch"),
    )


def recipe(doc):
    """One recipe file."""
    yields, batch, losses = doc.get("yield", {}), doc.get("batch", {}), doc.get("loss", [])
    cut = shapes.cut(yields) if "sheet" in yields else None
    stages = tuple(stage(d) for d in losses if "fraction" in d)
    return Recipe(
        id=doc["id"],
        density=_optional(doc, "density", q.density),
        lines=tuple(line(n, d) for n, d in enumerate(doc.get("line", []), start=1)),
        steps=tuple(step(d) for d in doc.get("step", [])),
        fractions=tuple(s.fraction for s in stages) + ((cut.offcut,) if cut else ()),
        stages=stages,
        residue=sum((q.expect(d["residue"], "mass") for d in losses if "residue" in d), Fraction(0)),
        yield_mass=_optional(yields, "mass", q.expect, "mass"),
        yield_pieces=cut.pieces if cut else _optional(yields, "pieces", Fraction),
        piece_mass=_optional(yields, "piece_mass", q.expect, "mass"),
        piece_ml=cut.piece_ml if cut else None,
        batch_max=_optional(batch, "max", q.expect, "mass"),
        batch_min=_optional(batch, "min", q.expect, "mass"),
        equipment=batch.get("equipment"),
        occupies=_occupies(doc),
        outline=shapes.outline(yields) if shapes.has_outline(yields) else None,
    )


def _occupies(doc):
    parts = [doc.get("batch", {}), *doc.get("step", [])]
    return tuple(dict.fromkeys(part["equipment"] for part in parts if "equipment" in part))


def trays(doc):
    """The trays of one `[[equipment]]` that states some."""
    tray = shapes.tray(doc["tray"]) if "tray" in doc else None
    return Trays(doc["class"], doc["trays"], doc.get("tray_pieces"), tray)


def scale(doc):
    """One `[[scale]]` of a site."""
    return Scale(doc["name"], q.expect(doc["capacity"], "mass"), q.expect(doc["increment"], "mass"))


def site(doc):
    """One site file."""
    return Site(
        id=doc["id"],
        currency=doc.get("currency"),
        labour_rate=_optional(doc, "labour_rate", q.hourly_rate),
        scales=tuple(scale(d) for d in doc.get("scale", [])),
        equipment=tuple((d["class"], q.expect(d["capacity"], "mass")) for d in doc.get("equipment", [])),
        trays=tuple(trays(d) for d in doc.get("equipment", []) if "trays" in d),
    )


def price(stem, listing, doc):
    """One `[[price]]` of a price list."""
    return Price(
        list=stem,
        site=listing.get("site"),
        ingredient=doc["ingredient"],
        pack=q.quantity(doc["pack"]),
        price=q.money(doc["price"]),
        start=doc["from"],
        supplier=doc.get("supplier"),
        preferred=doc.get("preferred", False),
    )


def rate(listing, doc):
    """One `[[rate]]` of a price list."""
    return Rate(listing.get("site"), doc["from"], doc["to"], q.number(doc["rate"]), doc["on"])
