"""The book's tables and what the figures of them are."""

import csv
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path


@dataclass(frozen=True)
class Figure:
    """A recipe's unit cost: by the gram as exact as a float is, and both as they are shown."""

    exact: float
    per_gram: str
    per_piece: str


class Book:
    """Ingredients and recipes share one row of numbers; `level` counts the steps of making."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.ingredients = [(int(a), float(b)) for a, b in self._rows("ingredients")]
        self.recipes = [
            (int(a), int(b), float(c), float(d) if d else None)
            for a, b, c, d in self._rows("recipes")
        ]
        [(ingredient, cost)] = self._rows("change")
        self.changed, self.cost = int(ingredient), float(cost)
        self.levels = range(1, 1 + max(level for _, level, *_ in self.recipes))

    @cached_property
    def lines(self) -> list[tuple[int, int, int, float]]:
        rows = self._rows("lines")
        return [(int(a), int(b), int(c), float(d)) for a, b, c, d in rows]

    @cached_property
    def costs(self) -> list[tuple[int, float]]:
        """What a gram costs of every ingredient and recipe before the change."""
        return self.ingredients + [(recipe, one.exact) for recipe, one in self.all.items()]

    @cached_property
    def all(self) -> dict[int, Figure]:
        """Every recipe's figures."""
        return self._figures("expected_all")

    @cached_property
    def touched(self) -> dict[int, Figure]:
        """The figures of what depends on the changed price, after the change."""
        return self._figures("expected_touched")

    def path(self, name: str) -> str:
        return str((self.folder / f"{name}.csv").absolute())

    def _figures(self, name: str) -> dict[int, Figure]:
        rows = self._rows(name)
        return {int(row[0]): Figure(float(row[1]), row[2], row[3]) for row in rows}

    def _rows(self, name: str) -> list[list[str]]:
        with (self.folder / f"{name}.csv").open(newline="") as file:
            rows = csv.reader(file)
            next(rows)
            return list(rows)
