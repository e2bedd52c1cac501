"""The firm's own rates as they were saved: one text in the record, so that a backup holds it.

    keep_rates(store, FirmRates('{"hour": 85}', now, "Olga"))
    firm_rates(store).text

What the text means is for ``book`` to say; here it is bytes that came in and go out.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import msgspec
from sqlalchemy import select

from wainscot.store import rows
from wainscot.store.tables import meta

if TYPE_CHECKING:
    from wainscot.store.store import Store

_NAME = "rates"


class FirmRates(msgspec.Struct, frozen=True):
    """Rates as JSON, when they were saved and by whom; empty where none were."""

    text: str = ""
    at: str = ""
    by: str = ""


def firm_rates(store: Store) -> FirmRates:
    """Return the firm's own rates.

    Parameters
    ----------
    store : Store
        The record.
    """
    with store.database.reading() as connection:
        kept = connection.execute(select(meta.c.value).where(meta.c.name == _NAME)).scalar()
    return msgspec.json.decode(kept, type=FirmRates) if kept else FirmRates()


def keep_rates(store: Store, rates: FirmRates) -> None:
    """Save the firm's own rates in place of those before.

    Parameters
    ----------
    store : Store
        The record.
    rates : FirmRates
        Known to be sound.
    """
    row: dict[str, object] = {"name": _NAME, "value": msgspec.json.encode(rates).decode()}
    with store.database.writing() as connection:
        rows.put(connection, meta, meta.c.name, row)
