"""SQLite, in memory, with an index that covers each way to look at a line."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager

from .book import Book
from .engine import Engine, Run

TABLES = """
CREATE TABLE cost (id INTEGER PRIMARY KEY, cost REAL NOT NULL);
CREATE TABLE recipe (id INTEGER PRIMARY KEY, level INTEGER NOT NULL,
    net REAL NOT NULL, pieces REAL);
CREATE TABLE line (recipe INTEGER NOT NULL, level INTEGER NOT NULL,
    uses INTEGER NOT NULL, grams REAL NOT NULL);
CREATE TABLE known (id INTEGER PRIMARY KEY, cost REAL NOT NULL);
"""
INDEXES = """
CREATE INDEX line_by_level ON line (level, recipe, uses, grams);
CREATE INDEX line_by_recipe ON line (recipe, level, uses, grams);
CREATE INDEX line_by_use ON line (uses, level, recipe, grams);
ANALYZE;
"""


class Lite:
    name = "SQLite"

    def __init__(self, connection: sqlite3.Connection) -> None:
        self.connection = connection

    def prepare(self, sql: str) -> Run:
        # The module keeps the statements that it has prepared.
        sql = sql.replace("@cost", ":cost")
        return lambda cost: self.connection.execute(sql, {"cost": cost}).fetchall()

    def empty(self) -> None:
        self.connection.execute("DELETE FROM known")


@contextmanager
def opened(book: Book) -> Iterator[Engine]:
    with closing(sqlite3.connect(":memory:", cached_statements=1000, isolation_level=None)) as one:
        one.executescript(TABLES)
        one.execute("BEGIN")
        one.executemany("INSERT INTO cost VALUES (?, ?)", book.costs)
        one.executemany("INSERT INTO recipe VALUES (?, ?, ?, ?)", book.recipes)
        one.executemany("INSERT INTO line VALUES (?, ?, ?, ?)", book.lines)
        one.execute("COMMIT")
        one.executescript(INDEXES)
        yield Lite(one)
