"""Takes the time of a formulation, once it has given the figures that it should."""

import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .book import Book, Figure
from .engine import Engine

if TYPE_CHECKING:
    from .sql import Formulation

WHOLE_BOOK = "whole book"
ONE_PRICE = "one price"

# What a float's own error through a few levels of sums may come to.
TOLERANCE = 1e-11
# Half a unit of the last decimal shown, and some float error.
HALF = 0.000_050_000_1
# So many runs warm up and aren't counted; then a formulation is repeated for so long, at least
# and at most so often.
WARM, SECONDS, LEAST, MOST = 2, 3.0, 3, 500


@dataclass(frozen=True)
class Measured:
    job: str
    who: str
    how: str
    median: float
    fastest: float

    def __str__(self) -> str:
        return f"{self.job}: {self.who}, {self.how}: {self.median * 1e3:.3f} ms"


def measure(engine: Engine, formulation: "Formulation", rounded: str, book: Book) -> Measured:
    before = [engine.prepare(sql) for sql in formulation.before]
    figures = engine.prepare(formulation.figures)
    answer = engine.prepare(rounded.format(figures=formulation.figures))

    def run(last: Callable[[float], list[tuple]], cost: float) -> list[tuple]:
        if before:
            engine.empty()
        for step in before:
            step(cost)
        return last(cost)

    whole = formulation.what == WHOLE_BOOK
    name = f"{engine.name}, {formulation.how}"
    compare(name, run(figures, book.cost), book.all if whole else book.touched)
    times = _times(lambda cost: run(answer, cost))
    median, fastest = statistics.median(times), min(times)
    return Measured(formulation.what, engine.name, formulation.how, median, fastest)


def _times(run: Callable[[float], object]) -> list[float]:
    times: list[float] = []
    count = 0
    begun = time.perf_counter()
    while len(times) < LEAST or (len(times) < MOST and time.perf_counter() - begun < SECONDS):
        cost = (1 + count % 100) / 10_000
        start = time.perf_counter()
        run(cost)
        if count >= WARM:
            times.append(time.perf_counter() - start)
        count += 1
    return times


def compare(name: str, rows: list[tuple], expected: dict[int, Figure]) -> None:
    """Stops where the database did another job than the one that is measured beside it."""
    found = {recipe: (per_gram, per_piece) for recipe, per_gram, per_piece in rows}
    if found.keys() != expected.keys():
        _stop(name, f"{len(found)} recipes instead of {len(expected)}")
    for recipe, figure in expected.items():
        per_gram, per_piece = found[recipe]
        if abs(per_gram - figure.exact) > TOLERANCE * figure.exact:
            _stop(name, f"recipe {recipe}: {per_gram} by the gram instead of {figure.exact}")
        if not _rounds_to(per_gram, figure.per_gram) or not _rounds_to(per_piece, figure.per_piece):
            _stop(name, f"recipe {recipe}: {per_gram} and {per_piece} instead of {figure}")


def _rounds_to(value: float | None, shown: str) -> bool:
    if value is None or shown == "":
        return value is None and shown == ""
    return abs(value - float(shown)) <= HALF


def _stop(name: str, what: str) -> None:
    raise SystemExit(f"{name}: {what}; to be compared, a database must do the same job")
