"""Queries about the shop's own words for settings."""

from sqlalchemy import Connection, bindparam, select

from server.records.columns import core
from server.records.tables import HouseWord

_word = core(HouseWord)
_OF = (
    select(_word.c.setting, _word.c.words)
    .where(_word.c.family == bindparam("family"))
    .order_by(_word.c.setting)
)
_FAMILIES = select(_word.c.family).distinct().order_by(_word.c.family)


def of(connection: Connection, family: str) -> tuple[tuple[str, str], ...]:
    """The words of one firmware family, as (setting, words)."""
    return tuple((row[0], row[1]) for row in connection.execute(_OF, {"family": family}))


def families(connection: Connection) -> list[str]:
    """Every family that has words."""
    return list(connection.execute(_FAMILIES).scalars())
