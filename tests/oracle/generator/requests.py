"""Requests against a book, and what they should give."""

from dataclasses import dataclass, field
from datetime import date

from .. import render, run
from ..errors import Refused
from ..resolve import resolve_tree
from ..targets import Target

UNIT_COST = "standard_unit_cost"


@dataclass(slots=True)
class Desk:
    """A book with its trees resolved once for many requests."""

    book: object
    trees: dict = field(default_factory=dict)

    def tree(self, recipe_id):
        """The resolved tree of a recipe."""
        if recipe_id not in self.trees:
            self.trees[recipe_id] = resolve_tree(self.book, recipe_id)
        return self.trees[recipe_id]


@dataclass(frozen=True, slots=True)
class Request:
    """One command; `day` is None for scale."""

    recipe: str
    target: Target
    site: str | None
    day: date | None

    @property
    def command(self):
        return "scale" if self.day is None else "cost"

    def result(self, book):
        """What the command prints, or its refusal by kind."""
        try:
            if self.day is None:
                return run.scale(book, self.recipe, self.target, self.site)
            return run.cost_of(book, self.recipe, self.target, self.site, self.day)
        except Refused as refusal:
            return {"error": refusal.kind}

    def case(self, book):
        """The request and its result, as one case of a line of output."""
        case = {
            "command": self.command,
            "recipe": self.recipe,
            "target": self.target.to_json(),
            "site": self.site,
        }
        if self.day is not None:
            case["on"] = self.day.isoformat()
        case["expect"] = self.result(book)
        if self.day is not None and "error" not in case["expect"]:
            unit = run.standard_unit_cost(book, self.recipe, self.site, self.day)
            case[UNIT_COST] = render.unit_cost_json(unit)
        return case
