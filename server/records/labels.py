"""Columns by label: a row's names and its query's columns are compared when a module is imported.

A row is made by position, which is fastest, and only from a query whose labels were seen to be the
row's own names in their order. So a name can be moved or added and no value lands under another.
"""

from collections.abc import Iterator, Mapping
from typing import Any, Generic, NamedTuple, TypeVar

from sqlalchemy import ColumnElement, Connection, Label, Select
from sqlalchemy.sql.selectable import FromClause

R = TypeVar("R", bound=NamedTuple)


class WrongLabels(TypeError):
    """Names and columns of a row do not agree."""


def labelled(
    row: type[NamedTuple], table: FromClause, /, **others: ColumnElement[Any]
) -> Iterator[Label[Any]]:
    """The columns of a row, each under its name: those in `others`, the rest from `table`.

    Raises WrongLabels for a name that is neither, and for one in `others` that the row has not.
    """
    if strange := others.keys() - set(row._fields):
        raise WrongLabels(f"{row.__name__} has no {', '.join(sorted(strange))}.")
    for name in row._fields:
        if name not in others and name not in table.c:
            raise WrongLabels(f"{row.__name__}.{name} is no column of {table}; name its column.")
        column: ColumnElement[Any] = others[name] if name in others else table.c[name]
        yield column.label(name)


class Rows(Generic[R]):
    """A query whose rows are of one kind. Raises WrongLabels where its labels are others."""

    def __init__(self, row: type[R], query: Select[Any]) -> None:
        labels = tuple(query.selected_columns.keys())
        if labels != row._fields:
            raise WrongLabels(f"{row.__name__} is {row._fields}, and its query gives {labels}.")
        self.query, self._row = query, row._make

    def all(self, connection: Connection, given: Mapping[str, Any] | None = None) -> list[R]:
        """Every row."""
        return [self._row(row) for row in connection.execute(self.query, given)]

    def first(self, connection: Connection, given: Mapping[str, Any] | None = None) -> R | None:
        """The first row; None where there is none."""
        row = connection.execute(self.query, given).first()
        return self._row(row) if row is not None else None

    def one(self, connection: Connection, given: Mapping[str, Any] | None = None) -> R:
        """The only row. Raises NoResultFound, MultipleResultsFound."""
        return self._row(connection.execute(self.query, given).one())
