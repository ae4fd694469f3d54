"""Column types and small makers that the tables share."""

from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Any, cast

from sqlalchemy import CheckConstraint, DateTime, Dialect, String, Table
from sqlalchemy.types import TypeDecorator
from sqlmodel import Field, SQLModel


class Utc(TypeDecorator[datetime]):
    """A moment, always aware and in UTC. SQLite keeps it as sortable text."""

    impl = DateTime
    cache_ok = True

    def load_dialect_impl(self, dialect: Dialect) -> Any:
        """Text of fixed width on SQLite, timestamptz elsewhere."""
        kind = String(32) if dialect.name == "sqlite" else DateTime(timezone=True)
        return dialect.type_descriptor(kind)

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> Any:
        """Refuse a moment without a zone: it would be read as another hour later."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("A moment without a time zone cannot be stored.")
        value = value.astimezone(UTC)
        return value.isoformat(timespec="microseconds") if dialect.name == "sqlite" else value

    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        """Aware and in UTC, from both databases."""
        if value is None:
            return None
        moment = datetime.fromisoformat(value) if isinstance(value, str) else value
        return moment if moment.tzinfo is UTC else moment.astimezone(UTC)


def key() -> Any:
    """The primary key of a row."""
    return Field(default=None, primary_key=True)


def link(target: str, *, index: bool = True, nullable: bool = False, **more: Any) -> Any:
    """A foreign key to `table.column`."""
    return Field(default=None, foreign_key=target, index=index, nullable=nullable, **more)


def moment(*, nullable: bool = False, index: bool = False) -> Any:
    """A UTC moment."""
    return Field(default=None, sa_type=Utc, nullable=nullable, index=index)


def listed(words: Iterable[str]) -> str:
    """Words as SQL lists them."""
    return ", ".join(f"'{word}'" for word in words)


def one_of(column: str, words: Iterable[str]) -> CheckConstraint:
    """The column holds one of these words and nothing else."""
    return CheckConstraint(f"{column} IN ({listed(words)})", name=f"{column}_known")


def filled(column: str) -> CheckConstraint:
    """The column is not an empty text."""
    return CheckConstraint(f"length({column}) > 0", name=f"{column}_filled")


def core(model: type[SQLModel]) -> Table:
    """The Core table behind a model, for the selects that list rows."""
    return cast(Table, model.__table__)  # type: ignore[attr-defined]  # SQLModel hides it
