"""Many past tickets from a few real ones: their rows are copied as they lie in the file, each copy
with numbers of its own. SQLite only.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Table, text

from server.records.columns import core
from server.records.tables import (
    Build,
    BuildFinding,
    Component,
    EstimateLine,
    Evidence,
    HandedItem,
    LogRecord,
    StepRecord,
    Ticket,
    TicketEvent,
    TicketSymptom,
    WireRecord,
)

Row = dict[str, Any]
Change = Callable[[str, Row], None]  # sets in a copied row what has to be its own

ALWAYS = (
    Ticket,
    TicketSymptom,
    HandedItem,
    EstimateLine,
    TicketEvent,
    Build,
    Component,
    WireRecord,
    BuildFinding,
    LogRecord,
)
BENCH = (StepRecord, Evidence)  # most of a ticket's rows; only some copies get them


@dataclass(frozen=True)
class Pattern:
    """All rows of one ticket by table, parents first."""

    rows: Mapping[Table, list[Row]]


class Copies:
    """Copies of patterns, kept until `write`."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection
        self._tables = [core(model) for model in (*ALWAYS, *BENCH)]
        self._bench = {core(model) for model in BENCH}
        self._links = {table: _links(table) for table in self._tables}
        self._next = {t: self._newest(t) for t in self._tables if "id" in t.c}
        self._kept: dict[Table, list[Row]] = {table: [] for table in self._tables}

    def pattern(self, ticket_id: int) -> Pattern:
        """The rows of this ticket."""
        return Pattern({table: list(self._of(table, ticket_id)) for table in self._tables})

    def add(self, pattern: Pattern, change: Change, *, bench: bool) -> None:
        """One more copy; with its steps and evidence where `bench` is true."""
        moved: dict[tuple[str, int], int] = {}
        for table, rows in pattern.rows.items():
            if table in self._bench and not bench:
                continue
            for row in rows:
                self._kept[table].append(self._copied(table, row, moved, change))

    def write(self) -> None:
        """Everything that was added, into the database."""
        for table, rows in self._kept.items():
            if rows:
                marks = ", ".join("?" * len(rows[0]))
                into = f'INSERT INTO "{table.name}" ({", ".join(rows[0])}) VALUES ({marks})'
                self._connection.exec_driver_sql(into, [tuple(row.values()) for row in rows])
            rows.clear()

    def _copied(
        self, table: Table, row: Row, moved: dict[tuple[str, int], int], change: Change
    ) -> Row:
        new = dict(row)
        for column, target in self._links[table]:
            new[column] = moved.get((target, row[column]), row[column])
        if table in self._next:
            self._next[table] += 1
            new["id"] = moved[table.name, row["id"]] = self._next[table]
        change(table.name, new)
        return new

    def _of(self, table: Table, ticket_id: int) -> Iterator[Row]:
        mine = {"ticket": ticket_id}
        where = "build_id IN (SELECT id FROM build WHERE ticket_id = :ticket)"
        if table.name == "ticket":
            where = "id = :ticket"
        elif "ticket_id" in table.c:
            where = "ticket_id = :ticket"
        query = text(f'SELECT * FROM "{table.name}" WHERE {where} ORDER BY rowid')
        return (dict(row) for row in self._connection.execute(query, mine).mappings())

    def _newest(self, table: Table) -> int:
        query = text(f'SELECT coalesce(max(id), 0) FROM "{table.name}"')
        return int(self._connection.execute(query).scalar_one())


def _links(table: Table) -> list[tuple[str, str]]:
    return [(key.parent.name, key.column.table.name) for key in table.foreign_keys]
