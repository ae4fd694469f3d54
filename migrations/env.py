"""How Alembic reaches the database: always through an engine that the caller made."""

from alembic import context
from sqlalchemy import Connection, Engine
from sqlmodel.sql.sqltypes import AutoString

from server.records.columns import Utc
from server.records.tables import metadata

# Two processes that start at once on PostgreSQL: the second waits, then finds nothing to do.
MIGRATION_LOCK = 772_031


UTC_COLUMN = 'sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql")'


def plain_types(kind: str, item: object, _context: object) -> str | bool:
    """Write our column types out, so that an old migration does not change with the code."""
    if kind == "type" and isinstance(item, Utc):
        return UTC_COLUMN
    return "sa.String()" if kind == "type" and isinstance(item, AutoString) else False


def migrate(connection: Connection) -> None:
    context.configure(
        connection=connection,
        target_metadata=metadata,
        render_as_batch=True,
        render_item=plain_types,
    )
    context.run_migrations()


def on_sqlite(engine: Engine) -> None:
    with engine.connect() as connection:
        # A batch change drops and rebuilds tables: with foreign keys on, rows of children vanish.
        # The pragma does nothing inside a transaction, so it goes past SQLAlchemy's own BEGIN.
        raw = connection.connection.driver_connection
        raw.execute("PRAGMA foreign_keys=OFF")
        with connection.begin():
            migrate(connection)
            broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
            if broken:
                raise RuntimeError(
                    f"The migration would leave {len(broken)} orphans; nothing was changed."
                )
    engine.dispose()  # else the pool hands the connection without foreign keys on


def on_postgresql(engine: Engine) -> None:
    with engine.begin() as connection:
        connection.exec_driver_sql(f"SELECT pg_advisory_xact_lock({MIGRATION_LOCK})")
        migrate(connection)


engine: Engine = context.config.attributes["engine"]
(on_sqlite if engine.dialect.name == "sqlite" else on_postgresql)(engine)
