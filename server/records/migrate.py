"""Bring a database up to the schema of this version, or refuse one from a newer version."""

import threading
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine

# Alembic keeps the run that is going on in module globals: one at a time in a process. Between
# processes the databases see to it (migrations/env.py).
_one_at_a_time = threading.Lock()


class NewerDatabase(RuntimeError):
    """The database was written by a newer version of the program."""


def bring_up_to_date(engine: Engine, scripts: Path) -> str:
    """Run what is missing and give the revision reached.

    Raises NewerDatabase, and changes nothing, where the database names a revision that this
    version does not know.
    """
    config = Config()
    config.set_main_option("script_location", str(scripts).replace("%", "%%"))
    config.attributes["engine"] = engine
    directory = ScriptDirectory.from_config(config)
    known = {script.revision for script in directory.walk_revisions()}
    current = revision_of(engine)
    if current is not None and current not in known:
        raise NewerDatabase(
            f"This database is at revision {current}, which this version does not know. "
            "Start the newer version of Quadwright that wrote it, or restore a copy made before."
        )
    head = directory.get_current_head()
    if current != head:
        with _one_at_a_time:
            command.upgrade(config, "head")
    return str(head)


def revision_of(engine: Engine) -> str | None:
    """The revision that the database is at; None when it is empty."""
    with engine.connect() as connection:
        return MigrationContext.configure(connection).get_current_revision()
