"""A random book: its documents by path, and what is known of it."""

import copy
from dataclasses import dataclass

from .. import book as authored
from .pantry import ingredient_documents
from .price_lists import price_documents
from .recipes import Kitchen, add_recipes
from .sites import site_documents
from .toml_writer import write


@dataclass(slots=True)
class World:
    """The documents of a book by path, and the recipe at the top."""

    documents: dict
    root: str

    def book(self):
        """The book as values."""
        return authored.from_documents(self.documents)

    def texts(self):
        """The book as TOML."""
        return {path: write(doc) for path, doc in self.documents.items()}

    def copy(self):
        """A copy that can be spoilt."""
        return World(copy.deepcopy(self.documents), self.root)

    def recipe(self, recipe_id):
        """The document of a recipe."""
        return self.documents[f"recipes/{recipe_id}.toml"]

    def ingredient(self, ingredient_id):
        """The table of an ingredient."""
        for path, doc in self.documents.items():
            for item in doc.get("ingredient", []) if path.startswith("ingredients/") else []:
                if item["id"] == ingredient_id:
                    return item
        raise KeyError(ingredient_id)


def _shelves(rng, items):
    """Ingredients over one to three files."""
    count = rng.randint(1, min(3, len(items)))
    names = ["dairy", "dry-store", "fruit"][:count]
    return {f"ingredients/{name}.toml": {"ingredient": items[n::count]} for n, name in enumerate(names)}


def make_world(rng):
    """A book without fault."""
    currency = rng.choice(["EUR"] * 8 + ["GBP", "USD"])
    items = ingredient_documents(rng)
    known = {i["id"]: authored.ingredient(i) for i in items}
    kitchen = Kitchen(authored.Book(currency, ("en", "fr"), known, {}, {}, (), ()), {}, {})
    root = add_recipes(rng, kitchen)
    sites = site_documents(rng, kitchen, currency)
    documents = {
        "book.toml": {
            "name": "Saltmarsh Kitchens",
            "currency": currency,
            "languages": ["en", "fr"],
            "labels": ["eu"],
        }
    }
    documents |= _shelves(rng, items)
    documents |= {f"recipes/{i}.toml": doc for i, doc in kitchen.documents.items()}
    documents |= {f"sites/{s['id']}.toml": s for s in sites}
    lists = price_documents(rng, kitchen, sites, currency)
    documents |= {f"prices/{stem}.toml": doc for stem, doc in lists.items()}
    return World(documents, root)
