"""DuckDB, in memory, with every processor and with one."""

from collections.abc import Iterator
from contextlib import closing, contextmanager
from itertools import count

import duckdb

from .book import Book
from .engine import Engine, Run
from .measure import WHOLE_BOOK
from .sql import FIGURES, INGREDIENTS, Formulation

TABLES = """
CREATE TABLE cost (id INTEGER PRIMARY KEY, cost DOUBLE NOT NULL);
CREATE TABLE recipe (id INTEGER PRIMARY KEY, level INTEGER NOT NULL,
    net DOUBLE NOT NULL, pieces DOUBLE);
CREATE TABLE line (recipe INTEGER NOT NULL, level INTEGER NOT NULL,
    uses INTEGER NOT NULL, grams DOUBLE NOT NULL);
CREATE TABLE known (id INTEGER NOT NULL, cost DOUBLE NOT NULL);
"""
INDEXES = """
CREATE INDEX line_by_recipe ON line (recipe);
CREATE INDEX line_by_use ON line (uses);
ANALYZE;
"""

# Its recursion can look at all that was found so far, and so sum up a level at a time.
RECURSIVE_LEVELS = """
WITH RECURSIVE known(id, level, cost) USING KEY (id) AS (
    SELECT id, 0, cost FROM ({ingredients}) AS ingredients
    UNION
    SELECT recipe.id, recipe.level, food / net
    FROM (
        SELECT line.recipe AS recipe, sum(line.grams * below.cost) AS food
        FROM line JOIN recurring.known AS below ON below.id = line.uses
        WHERE line.level = (SELECT max(level) + 1 FROM known)
        GROUP BY line.recipe
    ) AS sums JOIN recipe ON recipe.id = sums.recipe
)
"""


class Duck:
    def __init__(self, connection: duckdb.DuckDBPyConnection, threads: int) -> None:
        self.name = f"DuckDB, {threads} thread{'s' if threads > 1 else ''}"
        self.connection = connection
        self._names = count()
        connection.execute(f"SET threads = {threads}")

    def prepare(self, sql: str) -> Run:
        name = f"threads{self.name.split()[1]}_{next(self._names)}"
        asked = "@cost" in sql
        self.connection.execute(f"PREPARE {name} AS {sql.replace('@cost', '$1')}")
        values = "({})" if asked else ""
        execute = f"EXECUTE {name}{values}"
        return lambda cost: self.connection.execute(execute.format(repr(cost))).fetchall()

    def empty(self) -> None:
        self.connection.execute("TRUNCATE known")


def more(book: Book) -> Formulation:
    """The formulation that it alone takes."""
    ingredients = INGREDIENTS.format(first=book.recipes[0][0])
    figures = RECURSIVE_LEVELS.format(ingredients=ingredients) + FIGURES.format(known="known")
    return Formulation(WHOLE_BOOK, "recursive, a level at a time", (), figures)


@contextmanager
def opened(book: Book) -> Iterator[duckdb.DuckDBPyConnection]:
    with closing(duckdb.connect(":memory:")) as one:
        one.execute(TABLES)
        for table, file in (("recipe", "recipes"), ("line", "lines")):
            one.execute(f"COPY {table} FROM '{book.path(file)}' (HEADER)")
        for column, file in (("cost", "ingredients"), ("exact", "expected_all")):
            rows = f"SELECT id, {column} FROM read_csv('{book.path(file)}')"
            one.execute(f"INSERT INTO cost {rows}")
        one.execute(INDEXES)
        yield one
