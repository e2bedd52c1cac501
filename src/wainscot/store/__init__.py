"""The record on disk: nothing that was acknowledged is lost.

>>> import tempfile
>>> from wainscot.record import event, line_of
>>> folder = Path(tempfile.mkdtemp()) / "record"
>>> store = Store.create(folder, device="office")
>>> titled = event("set", job="job_a", device="phone", seq=1, prev="",
...                at="2025-03-14T09:30:00+00:00", field="title", value="Mill Cottage")
>>> told = store.append([line_of(titled), b"rubbish"], received="2025-03-14T09:31:00+00:00")
>>> told.refused[0].reason
'not JSON: Expecting value: line 1 column 1 (char 0)'
>>> store.job("job_a").title
'Mill Cottage'
>>> store.close()

A record is a folder: one SQLite file with the events (or none, where they lie in a PostgreSQL
database), photos under their hashes, backups.  Sync is
set union: :meth:`Store.missing` says what another lacks, :meth:`Store.batches` gives the lines,
:meth:`Store.append` takes them, in any order and as often as one likes.

Limits: a SQLite file lies on one machine's own disk, not on a network share.  HTTP is not here.
"""

from pathlib import Path

from wainscot.store.accounts import Account, Accounts, Device, Role, Who
from wainscot.store.admit import Admitted, Refused, admit
from wainscot.store.backed_up import (
    Status,
    events_after,
    held_by,
    later,
    noted,
    photos_held_by,
    status,
)
from wainscot.store.backup import Taken, check, take
from wainscot.store.blobs import BlobFault, Blobs
from wainscot.store.bucket import BucketBlobs
from wainscot.store.chains import Chain, Link, chains
from wainscot.store.database import Database, Finding
from wainscot.store.doctor import doctor
from wainscot.store.durable import STOPPED, Disk, stop
from wainscot.store.erase import Found, Left, erase, look
from wainscot.store.faults import (
    DamagedError,
    DiskFullError,
    NoRecordError,
    PartError,
    StoreError,
)
from wainscot.store.firm_rates import FirmRates, firm_rates, keep_rates
from wainscot.store.heads import give_head, heads, signature_good
from wainscot.store.job_export import record_of
from wainscot.store.keys import DeviceKey, keys_in, set_key
from wainscot.store.layout import Layout
from wainscot.store.links import LinkView, PaperLink, PaperLinks
from wainscot.store.made_papers import MadePaper, keep_paper, paper_of, papers_of
from wainscot.store.moving import Moved, move_in
from wainscot.store.passwords import PasswordError
from wainscot.store.postgres import Postgres
from wainscot.store.proof import check_file, check_store
from wainscot.store.reading import RecordReader
from wainscot.store.restore import restore
from wainscot.store.rotation import Rotated, rotate, take_and_rotate
from wainscot.store.rows import Received
from wainscot.store.sqlite import Journal, SqliteFile, driver, journal_for
from wainscot.store.stamps import StampError, stamp_of, stamp_request
from wainscot.store.store import Store
from wainscot.store.told import Counts, Held, Page, Receipt
from wainscot.store.whole import export_everything, import_everything

__all__ = [
    "STOPPED",
    "Account",
    "Accounts",
    "Admitted",
    "BlobFault",
    "Blobs",
    "BucketBlobs",
    "Chain",
    "Counts",
    "DamagedError",
    "Database",
    "Device",
    "DeviceKey",
    "Disk",
    "DiskFullError",
    "Finding",
    "FirmRates",
    "Found",
    "Held",
    "Journal",
    "Layout",
    "Left",
    "Link",
    "LinkView",
    "MadePaper",
    "Moved",
    "NoRecordError",
    "Page",
    "PaperLink",
    "PaperLinks",
    "PartError",
    "PasswordError",
    "Path",
    "Postgres",
    "Receipt",
    "Received",
    "RecordReader",
    "Refused",
    "Role",
    "Rotated",
    "SqliteFile",
    "StampError",
    "Status",
    "Store",
    "StoreError",
    "Taken",
    "Who",
    "admit",
    "chains",
    "check",
    "check_file",
    "check_store",
    "doctor",
    "driver",
    "erase",
    "events_after",
    "export_everything",
    "firm_rates",
    "give_head",
    "heads",
    "held_by",
    "import_everything",
    "journal_for",
    "keep_paper",
    "keep_rates",
    "keys_in",
    "later",
    "look",
    "move_in",
    "noted",
    "paper_of",
    "papers_of",
    "photos_held_by",
    "record_of",
    "restore",
    "rotate",
    "set_key",
    "signature_good",
    "stamp_of",
    "stamp_request",
    "status",
    "stop",
    "take",
    "take_and_rotate",
]
