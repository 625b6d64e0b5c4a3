"""The formulations, in SQL that all three databases take.

The tables, every index that could help among them:

- `cost(id, cost)`: what a gram costs of every ingredient and recipe, before the change;
- `recipe(id, level, net, pieces)`: `level` counts the steps of making from ingredients;
- `line(recipe, level, uses, grams)`: `level` is the recipe's, so that no join is needed for it;
- `known(id, cost)`: scratch.

`@cost` is what an edible gram of the one ingredient comes to cost.
"""

from dataclasses import dataclass

from .book import Book
from .measure import ONE_PRICE, WHOLE_BOOK


@dataclass(frozen=True)
class Formulation:
    what: str
    how: str
    # Done first, in order.
    before: tuple[str, ...]
    # Gives `(id, per_gram, per_piece)`.
    figures: str


# All figures are computed and rounded, and a single row leaves the database.
ROUNDED = """
SELECT count(*), sum(round(per_gram * 10000)), sum(round(per_piece * 10000))
FROM ({figures}) AS figures
"""

# What the recipes of a level come to, from what is known of those below.
LEVEL = """
SELECT recipe.id AS id, food / net AS cost
FROM (
    SELECT line.recipe AS recipe, sum(line.grams * known.cost) AS food
    FROM line JOIN {known} AS known ON known.id = line.uses
    WHERE line.level = {level}
    GROUP BY line.recipe
) AS sums JOIN recipe ON recipe.id = sums.recipe
"""

INGREDIENTS = "SELECT id, cost FROM cost WHERE id < {first}"

FIGURES = """
SELECT recipe.id AS id, known.cost AS per_gram, known.cost * net / pieces AS per_piece
FROM {known} AS known JOIN recipe ON recipe.id = known.id
"""

# One row for each way down from a recipe to an ingredient.
WAYS_DOWN = """
WITH RECURSIVE part(recipe, uses, share) AS (
    SELECT recipe, uses, grams / net FROM line JOIN recipe ON recipe.id = line.recipe
    UNION ALL
    SELECT part.recipe, line.uses, share * grams / net
    FROM part JOIN line ON line.recipe = part.uses JOIN recipe ON recipe.id = line.recipe
), sums(id, cost) AS (
    SELECT recipe, sum(share * cost) FROM part JOIN cost ON cost.id = uses
    WHERE uses < {first} GROUP BY recipe
)
SELECT recipe.id AS id, sums.cost AS per_gram, sums.cost * net / pieces AS per_piece
FROM sums JOIN recipe ON recipe.id = sums.id
"""

# The difference goes up every way from the ingredient, and no other line is looked at.
DIFFERENCES = """
WITH RECURSIVE moved(id, difference) AS (
    SELECT id, CAST(@cost AS double precision) - cost FROM cost WHERE id = {changed}
    UNION ALL
    SELECT recipe.id, difference * grams / net
    FROM moved JOIN line ON line.uses = moved.id JOIN recipe ON recipe.id = line.recipe
), sums(id, difference) AS (
    SELECT id, sum(difference) FROM moved WHERE id >= {first} GROUP BY id
)
SELECT recipe.id AS id, cost + difference AS per_gram,
    (cost + difference) * net / pieces AS per_piece
FROM sums JOIN cost ON cost.id = sums.id JOIN recipe ON recipe.id = sums.id
"""

# The same as `LEVEL` for the recipes that take what has changed; the rest keeps its cost. A cross
# join, since SQLite's planner would begin at the other end.
TOUCHED_LEVEL = """
SELECT recipe.id AS id, food / net AS cost
FROM (
    SELECT line.recipe AS recipe, sum(grams * coalesce(known.cost, cost.cost)) AS food
    FROM (
        SELECT DISTINCT above.recipe AS id FROM known CROSS JOIN line AS above
        WHERE above.uses = known.id AND above.level = {level}
    ) AS touched CROSS JOIN line JOIN cost ON cost.id = line.uses
    LEFT JOIN known ON known.id = line.uses
    WHERE line.recipe = touched.id
    GROUP BY line.recipe
) AS sums JOIN recipe ON recipe.id = sums.recipe
"""


def formulations(book: Book) -> list[Formulation]:
    """Two or more for each job."""
    first = book.recipes[0][0]
    ingredients = INGREDIENTS.format(first=first)
    figures = FIGURES.format(known="known")
    levels = [LEVEL.format(known="known", level=level) for level in book.levels]
    changed = f"SELECT {book.changed}, CAST(@cost AS double precision)"
    touched = [TOUCHED_LEVEL.format(level=level) for level in book.levels]
    differences = DIFFERENCES.format(first=first, changed=book.changed)
    return [
        Formulation(WHOLE_BOOK, "one query, a step a level", (), _chain(book, ingredients)),
        Formulation(WHOLE_BOOK, "a statement a level", _inserts(ingredients, levels), figures),
        Formulation(WHOLE_BOOK, "recursive, every way down", (), WAYS_DOWN.format(first=first)),
        Formulation(ONE_PRICE, "recursive, the difference up every way", (), differences),
        Formulation(ONE_PRICE, "a statement a level", _inserts(changed, touched), figures),
    ]


def _inserts(start: str, steps: list[str]) -> tuple[str, ...]:
    return tuple(f"INSERT INTO known {step}" for step in (start, *steps))


def _chain(book: Book, start: str) -> str:
    """One query in which the recipes of each level build on those of all levels below."""
    steps = [f"known0 AS ({start})"]
    for level in book.levels:
        made = LEVEL.format(known=f"known{level - 1}", level=level)
        steps.append(f"known{level} AS (SELECT id, cost FROM known{level - 1} UNION ALL {made})")
    return f"WITH {', '.join(steps)} {FIGURES.format(known=f'known{book.levels[-1]}')}"
