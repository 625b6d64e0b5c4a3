"""Runs every formulation in every database and writes what it took.

    python -m peers FOLDER

FOLDER holds the book's tables; `peers.csv` is written beside them.
"""

import csv
import os
import sys
from collections.abc import Iterator
from dataclasses import astuple
from pathlib import Path

from . import duck, lite, postgres
from .book import Book
from .measure import Measured, measure
from .sql import ROUNDED, formulations


def measured(book: Book) -> Iterator[Measured]:
    shared = formulations(book)
    with duck.opened(book) as connection:
        for threads in sorted({1, os.cpu_count() or 1}):
            engine = duck.Duck(connection, threads)
            for formulation in [*shared, duck.more(book)]:
                yield measure(engine, formulation, ROUNDED, book)
    for database in (lite, postgres):
        with database.opened(book) as engine:
            for formulation in shared:
                yield measure(engine, formulation, ROUNDED, book)


def main() -> None:
    folder = Path(sys.argv[1])
    with (folder / "peers.csv").open("w", newline="") as file:
        rows = csv.writer(file, delimiter=";", lineterminator="\n")
        rows.writerow(("job", "who", "how", "median", "fastest"))
        for one in measured(Book(folder)):
            print(one, file=sys.stderr)
            rows.writerow(astuple(one))


main()
