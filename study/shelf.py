"""Photos in an S3-like store, over the wire: against ``moto``, a server made to be taken for S3.

    pip install 'moto[s3]' flask flask-cors
    python -m study shelf

It is no part of the tests: with all that it needs it is larger than what it looks at.
"""

from __future__ import annotations

import os
import random
import shutil
import socket
import subprocess
import tempfile
import time
from contextlib import closing
from pathlib import Path
from typing import Any

import httpx
import obstore
from obstore.store import from_url

from wainscot.store import DamagedError, Store, StoreError, restore, take

SEED = 93_000
PHOTOS, LARGEST = 40, 12_000_000
NOW = "2025-03-14T10:00:00+00:00"
PLACE = "s3://mill/record"

Found = dict[str, Any]


def run(count: int) -> Found:
    """Return what was put, read, altered, lost and restored."""
    program = os.environ.get("MOTO_SERVER") or shutil.which("moto_server")
    if program is None:
        raise SystemExit("this study needs: pip install 'moto[s3]' flask flask-cors")
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = str(probe.getsockname()[1])
    server = subprocess.Popen([program, "-H", "127.0.0.1", "-p", port], stdout=subprocess.DEVNULL,
                              stderr=subprocess.DEVNULL)  # fmt: skip
    try:
        url = f"http://127.0.0.1:{port}"
        os.environ |= {"AWS_ENDPOINT_URL": url, "AWS_ACCESS_KEY_ID": "x",
                       "AWS_SECRET_ACCESS_KEY": "y", "AWS_REGION": "us-east-1"}  # fmt: skip
        while not _answers(url):
            time.sleep(0.1)
        httpx.put(f"{url}/mill").raise_for_status()
        return _looked(count)
    finally:
        server.kill()
        server.wait()


def _answers(url: str) -> bool:
    try:
        return httpx.get(url).status_code < 500
    except httpx.TransportError:
        return False


def _looked(count: int) -> Found:
    source = random.Random(SEED)
    told = {"put": 0, "read": 0, "altered": 0, "refused": 0, "lost": 0, "missed": 0, "restored": 0}
    shelf = from_url(PLACE, client_options={"allow_http": True})
    with tempfile.TemporaryDirectory(prefix="wainscot-") as made:
        place = Path(made)
        with closing(Store.create(place / "a", device="o", bucket=PLACE)) as store:
            data = {}
            for n in range(count):
                one = source.randbytes(LARGEST if n % 10 == 9 else source.randrange(1, 400_000))
                data[store.blobs.put(one, received=NOW)] = one
            told["put"] = len(store.blobs.rows())
            with closing(Store.open(place / "a", now=NOW, bucket=PLACE)) as other:
                told["read"] = sum(b"".join(other.blobs.read(name)) == one
                                   for name, one in data.items())  # fmt: skip
            taken = take(store.database, store.blobs, store.disk, place / "stick", now=NOW)
            shutil.rmtree(store.layout.blobs)
            for n, name in enumerate(data):
                key = f"{name[:2]}/{name}"
                if n % 2:
                    obstore.delete(shelf, key)
                    told["lost"] += 1
                else:
                    obstore.put(shelf, key, data[name][:-1] + b"?" + source.randbytes(1))
                    told["altered"] += 1
                try:
                    b"".join(store.blobs.read(name))
                except DamagedError:
                    told["refused"] += 1
                except StoreError:
                    told["missed"] += 1
        again = restore(taken.path, place / "b", device="o2", now=NOW, bucket=PLACE)
        with closing(again):
            told["restored"] = sum(b"".join(again.blobs.read(name)) == one
                                   for name, one in data.items())  # fmt: skip
    passes = (told["put"] == told["read"] == told["restored"] == count
              and (told["altered"], told["lost"]) == (told["refused"], told["missed"]))  # fmt: skip
    return {"seed": SEED, "largest_bytes": LARGEST, **told, "passes": passes}
