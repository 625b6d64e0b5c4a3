"""What the measuring asks of a database."""

from collections.abc import Callable
from typing import Protocol

Run = Callable[[float], list[tuple]]


class Engine(Protocol):
    """A database with the book loaded, in memory."""

    name: str

    def prepare(self, sql: str) -> Run:
        """A statement ready to be run, given what stands for `@cost`."""

    def empty(self) -> None:
        """Empties `known`."""
