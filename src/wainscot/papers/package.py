"""Everything of a job as one file that can be checked: a bag (RFC 8493, BagIt 1.0) in a zip.

    bag("job_mill", {"papers/quote.pdf": pdf}, {"External-Identifier": "job_mill"})   # bytes

Each file stands in the manifest by its SHA-256, so that one changed byte is found by any program
that reads bags.  The same files give the same bytes: the zip carries no time.

Limits: checksums show that nothing was changed by accident; whoever can write the file can write
new checksums too.  The head of the record, printed on the papers, is what ties them to it.
"""

from __future__ import annotations

import hashlib
import io
import re
import zipfile
from collections.abc import Mapping

_EPOCH = (1980, 1, 1, 0, 0, 0)
_DECLARED = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"


def bag(name: str, payload: Mapping[str, bytes], about: Mapping[str, str]) -> bytes:
    """Return files as a bag in a zip.

    Parameters
    ----------
    name : str
        Of the folder in the zip; signs that a file name may not hold become dashes.
    payload : mapping of str to bytes
        Files by their names under ``data/``.
    about : mapping of str to str
        Lines of ``bag-info.txt``; Payload-Oxum is added.

    Raises
    ------
    ValueError
        If a name holds what a manifest has to encode (RFC 8493, 2.1.3): readers differ on it.
    """
    if odd := [key for key in payload if set(key) & set("%\r\n")]:
        raise ValueError(f"no name of a file in a bag: {odd}")
    folder = re.sub(r"[^A-Za-z0-9._-]+", "-", name).strip(".-")[:60] or "job"
    files = {f"data/{key}": payload[key] for key in sorted(payload)}
    total = sum(map(len, files.values()))
    lines = {**about, "Payload-Oxum": f"{total}.{len(files)}"}
    told = "".join(f"{key}: {_line(value)}\n" for key, value in lines.items())
    tags = {
        "bagit.txt": _DECLARED.encode(),
        "bag-info.txt": told.encode(),
        "manifest-sha256.txt": _manifest(files),
    }  # fmt: skip
    tags["tagmanifest-sha256.txt"] = _manifest(tags)
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for path, content in {**tags, **files}.items():
            entry = zipfile.ZipInfo(f"{folder}/{path}", _EPOCH)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            packed.writestr(entry, content)
    return out.getvalue()


def _manifest(files: Mapping[str, bytes]) -> bytes:
    told = (f"{hashlib.sha256(content).hexdigest()}  {key}\n"
            for key, content in files.items())  # fmt: skip
    return "".join(told).encode()


def _line(value: str) -> str:
    """A value of bag-info on one line."""
    return " ".join(value.split())
