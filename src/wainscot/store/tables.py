"""The tables.  Those of ``event`` keep their meaning for ever: backups of any age rest on them.

Limits: what is here must equal what the migrations make; a test compares.
"""

from __future__ import annotations

from sqlalchemy import BigInteger, Column, Float, Index, Integer, LargeBinary, MetaData, Table, Text

metadata = MetaData()

_LONG = Integer().with_variant(BigInteger(), "postgresql")  # SQLite's whole numbers are long

event = Table(
    "event",
    metadata,
    Column("n", Integer, primary_key=True),  # order of receipt
    Column("id", Text, nullable=False, unique=True),
    Column("job", Text, nullable=False),
    Column("device", Text, nullable=False),
    Column("seq", _LONG, nullable=False),
    Column("prev", Text, nullable=False),
    Column("body", LargeBinary, nullable=False),  # canonical JSON, id included
    Column("received", Text, nullable=False),
    Column("skew", Float),  # receiver's clock less sender's [s]
    Column("beside", LargeBinary),  # signature and personal texts, canonical JSON; may be changed
    Index("event_job", "job"),
    Index("event_device", "device", "seq"),
)

quarantine = Table(
    "quarantine",
    metadata,
    Column("digest", Text, primary_key=True),  # SHA-256 of the bytes as they came
    Column("raw", LargeBinary, nullable=False),
    Column("reason", Text, nullable=False),
    Column("received", Text, nullable=False),
)

blob = Table(
    "blob",
    metadata,
    Column("n", Integer, primary_key=True),
    Column("hash", Text, nullable=False, unique=True),
    Column("size", Integer, nullable=False),
    Column("received", Text, nullable=False),
)

meta = Table(
    "meta",
    metadata,
    Column("name", Text, primary_key=True),
    Column("value", Text, nullable=False),
)

folded = Table(
    "folded",
    metadata,
    Column("job", Text, primary_key=True),
    Column("head", Text, nullable=False),
    Column("body", LargeBinary, nullable=False),
)

backup = Table(
    "backup",
    metadata,
    Column("n", Integer, primary_key=True),
    Column("path", Text, nullable=False),
    Column("digest", Text, nullable=False),
    Column("taken", Text, nullable=False),
    Column("events_through", Integer, nullable=False),
    Column("blobs_through", Integer, nullable=False),
)

account = Table(
    "account",
    metadata,
    Column("n", Integer, primary_key=True),
    Column("id", Text, nullable=False, unique=True),
    Column("name", Text, nullable=False, unique=True),
    Column("role", Text, nullable=False),
    Column("password", Text, nullable=False),  # as argon2 writes it: parameters, salt, hash
    Column("disabled", Integer, nullable=False),
    Column("made", Text, nullable=False),
)

device = Table(
    "device",
    metadata,
    Column("n", Integer, primary_key=True),
    Column("id", Text, nullable=False, unique=True),
    Column("account", Text, nullable=False),
    Column("name", Text, nullable=False),
    Column("token", Text, unique=True),  # SHA-256 of it; none once it is revoked
    Column("made", Text, nullable=False),
    Column("revoked", Text, nullable=False),  # when; empty while it may come in
    Index("device_account", "account"),
)

session = Table(
    "session",
    metadata,
    Column("n", Integer, primary_key=True),
    Column("token", Text, nullable=False, unique=True),  # SHA-256 of it
    Column("account", Text, nullable=False),
    Column("made", Text, nullable=False),
    Column("until", Float, nullable=False),  # seconds since 1970 [s]
    Index("session_account", "account"),
)

head = Table(
    "head",
    metadata,
    Column("n", Integer, primary_key=True),  # order in which they were given out
    Column("size", Integer, nullable=False),
    Column("root", Text, nullable=False),
    Column("time", Text, nullable=False),
    Column("key", Text, nullable=False),  # the public key
    Column("signature", Text, nullable=False),
)

paper = Table(
    "paper",
    metadata,
    Column("n", Integer, primary_key=True),  # order in which they were made
    Column("job", Text, nullable=False),
    Column("digest", Text, nullable=False),  # SHA-256 of the PDF, whose bytes lie with the photos
    Column("kind", Text, nullable=False),
    Column("language", Text, nullable=False),
    Column("size", Text, nullable=False),
    Column("title", Text, nullable=False),
    Column("pages", Text, nullable=False),  # SHA-256 of its pages as drawings
    Column("sheets", Integer, nullable=False),  # how many pages
    Column("version", Text, nullable=False),  # of the job that it tells of
    Column("made", Text, nullable=False),
    Column("account", Text, nullable=False),  # who had it made; empty for the one person here
    Index("paper_job", "job", "digest", unique=True),
)

link = Table(
    "link",
    metadata,
    Column("n", Integer, primary_key=True),
    Column("id", Text, nullable=False, unique=True),
    Column("token", Text, nullable=False, unique=True),  # SHA-256 of it
    Column("job", Text, nullable=False),
    Column("paper", Text, nullable=False),  # SHA-256 of its bytes
    Column("reader", Text, nullable=False),
    Column("sender", Text, nullable=False),
    Column("made", Text, nullable=False),
    Column("until", Text, nullable=False),
    Column("ends", Float, nullable=False),  # the same in seconds since 1970 [s]
    Column("revoked", Text, nullable=False),  # when; empty while it may be used
    Column("views", Integer, nullable=False),
    Column("last", Text, nullable=False),
    Index("link_job", "job"),
)

link_view = Table(
    "link_view",
    metadata,
    Column("n", Integer, primary_key=True),
    Column("link", Text, nullable=False),
    Column("at", Text, nullable=False),
    Column("seen", Text, nullable=False),
    Index("link_view_link", "link"),
)

device_key = Table(
    "device_key",
    metadata,
    Column("n", Integer, primary_key=True),
    Column("device", Text, nullable=False),
    Column("key", Text, nullable=False),  # the public key
    Column("since", Text, nullable=False),
    Column("until", Text, nullable=False),  # when it was replaced or revoked; empty while it counts
    Index("device_key_device", "device"),
)

erased = Table(
    "erased",
    metadata,
    Column("n", Integer, primary_key=True),
    Column("job", Text, nullable=False),
    Column("hash", Text, nullable=False),
    Column("what", Text, nullable=False),  # "text" or "photo"
    Column("received", Text, nullable=False),
    Index("erased_hash", "hash"),
)
