"""Tables of an older program to this one's, after a backup that was read back.

The changes of one start are one transaction: they are made whole or not at all.
"""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, inspect, text

from wainscot.store.database import Database
from wainscot.store.faults import StoreError

_SCRIPTS = Path(__file__).parent / "migrations"


def _config(connection: Connection | None = None) -> Config:
    config = Config()
    config.set_main_option("script_location", str(_SCRIPTS).replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def newest() -> str:
    """Return the revision of the tables that this program knows."""
    return str(ScriptDirectory.from_config(_config()).get_current_head())


def revision(database: Database) -> str:
    """Return the revision of a record's tables; empty where there are none yet.

    Raises
    ------
    StoreError
        If it is none that this program knows.
    """
    with database.reading() as connection:
        return found(connection)


def found(connection: Connection) -> str:
    """Return the revision of the tables that a connection sees; empty where there are none yet.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.reading` or :meth:`Database.writing`.

    Raises
    ------
    StoreError
        If it is none that this program knows.
    """
    if not inspect(connection).has_table("alembic_version"):
        return ""
    told = str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar())
    known = [one.revision for one in ScriptDirectory.from_config(_config()).walk_revisions()]
    if told not in known:
        raise StoreError(
            f"the record was written by a newer program (tables {told}, known up to {newest()}); "
            "install that program, nothing was changed"
        )
    return told


def upgrade(connection: Connection, to: str = "head") -> None:
    """Bring the tables up to a revision.

    Parameters
    ----------
    connection : Connection
        Of :meth:`Database.writing`; whoever calls has a verified backup.
    to : str
        Revision; the newest by default.
    """
    command.upgrade(_config(connection), to)
