"""PostgreSQL on a private server, which is gone at the end.

It is made of the installed programs, serves on a free port of 127.0.0.1 from a folder of its own,
and keeps the whole book in its buffers.
"""

import os
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg

from .book import Book
from .engine import Engine, Run

# Where Debian and those who follow it keep the programs of each version.
VERSIONS = Path("/usr/lib/postgresql")
# The server refuses to run as root; this user owns nothing.
UNPRIVILEGED = "nobody"

# Nothing here waits for a disk: a page costs the same wherever it is. Compiling a query costs more
# than these take.
SETTINGS = {
    "listen_addresses": "127.0.0.1",
    "unix_socket_directories": "",
    "shared_buffers": "512MB",
    "work_mem": "256MB",
    "fsync": "off",
    "synchronous_commit": "off",
    "autovacuum": "off",
    "jit": "off",
    "random_page_cost": "1",
}

TABLES = """
CREATE UNLOGGED TABLE cost (id integer PRIMARY KEY, cost double precision NOT NULL);
CREATE UNLOGGED TABLE recipe (id integer PRIMARY KEY, level integer NOT NULL,
    net double precision NOT NULL, pieces double precision);
CREATE UNLOGGED TABLE line (recipe integer NOT NULL, level integer NOT NULL,
    uses integer NOT NULL, grams double precision NOT NULL);
CREATE TEMPORARY TABLE known (id integer NOT NULL, cost double precision NOT NULL);
"""
INDEXES = (
    "CREATE INDEX ON line (level, recipe) INCLUDE (uses, grams)",
    "CREATE INDEX ON line (recipe) INCLUDE (level, uses, grams)",
    "CREATE INDEX ON line (uses, level) INCLUDE (recipe, grams)",
    "VACUUM ANALYZE",
)


class Postgres:
    name = "PostgreSQL"

    def __init__(self, connection: psycopg.Connection) -> None:
        self.connection = connection

    def prepare(self, sql: str) -> Run:
        sql = sql.replace("@cost", "%(cost)s")
        asked = "%(cost)s" in sql

        def run(cost: float) -> list[tuple]:
            values = {"cost": cost} if asked else None
            cursor = self.connection.execute(sql, values, prepare=True)
            return cursor.fetchall() if cursor.description else []

        return run

    def empty(self) -> None:
        self.connection.execute("TRUNCATE known")


@contextmanager
def opened(book: Book) -> Iterator[Engine]:
    with _server() as port, psycopg.connect(
        host="127.0.0.1", port=port, user="bench", dbname="postgres", autocommit=True
    ) as one:
        one.execute(TABLES)
        for table, rows in (("cost", book.costs), ("recipe", book.recipes), ("line", book.lines)):
            with one.cursor().copy(f"COPY {table} FROM STDIN") as copy:
                for row in rows:
                    copy.write_row(row)
        for statement in INDEXES:
            one.execute(statement)
        yield Postgres(one)


@contextmanager
def _server() -> Iterator[int]:
    programs = _programs()
    with tempfile.TemporaryDirectory(prefix="pg.") as folder:
        data = Path(folder) / "data"
        if _root():
            shutil.chown(folder, UNPRIVILEGED)
        initdb = ("--pgdata", data, "--username=bench", "--auth=trust", "--no-sync", "--locale=C")
        _run(programs / "initdb", *initdb, "--encoding=UTF8")
        port = _free_port()
        settings = {**SETTINGS, "port": port}
        options = " ".join(f"-c {name}='{value}'" for name, value in settings.items())
        control = (programs / "pg_ctl", "--pgdata", data, "--wait", "--silent")
        _run(*control, "--log", Path(folder) / "log", "--options", options, "start")
        try:
            yield port
        finally:
            # By the process that the data folder names.
            _run(*control, "--mode=fast", "stop")


def _programs() -> Path:
    on_path = shutil.which("pg_ctl")
    newest = sorted(VERSIONS.glob("*/bin/pg_ctl"), key=lambda path: int(path.parts[-3]))
    if not on_path and not newest:
        raise SystemExit("PostgreSQL 15 or later is not installed: `apt-get install postgresql`")
    return Path(on_path).resolve().parent if on_path else newest[-1].parent


def _root() -> bool:
    return os.geteuid() == 0


def _run(program: Path, *arguments: object) -> None:
    become = ["runuser", "-u", UNPRIVILEGED, "--"] if _root() else []
    command = [*become, str(program), *map(str, arguments)]
    quiet = subprocess.DEVNULL
    done = subprocess.run(command, cwd="/", stdin=quiet, stdout=quiet, stderr=quiet, check=False)
    if done.returncode != 0:
        raise SystemExit(f"`{program.name}` failed: {done.returncode}")


def _free_port() -> int:
    with socket.create_server(("127.0.0.1", 0)) as listener:
        return listener.getsockname()[1]
