"""Check a record that wainscot wrote, with nothing but Python.

    python verify.py FILE.zip [SIZE ROOT]

FILE is of `wainscot export FILE.zip --everything` or `wainscot package`, SIZE and ROOT are of a
head on a paper.  Checks events, signatures, personal texts, chains, the tree of RFC 9162, heads
(RFC 8032), photos.  Exit code: 0 whole, 1 not, 2 unread.  It cannot show a change or a cut after
the last head, nor who held a key.  A false record can bring a false copy of this file: get another.
"""

import hashlib
import json
import sys
import zipfile
from collections import Counter
from collections.abc import Callable, Iterable
from functools import reduce
from typing import Any

P = 2**255 - 19
Q = 2**252 + 27742317777372353535851937790883648493
D = -121665 * pow(121666, P - 2, P) % P
LARGEST = 1 << 30  # bytes of one member; more is no record of a small firm
Point = tuple[int, int, int, int]
Say = Callable[[bool | None, str], None]


def _sha256(data: bytes) -> bytes:
    return hashlib.sha256(data).digest()


def add(a: Point, b: Point) -> Point:
    """Add two points of the curve in extended coordinates."""
    w, x = (a[1] - a[0]) * (b[1] - b[0]) % P, (a[1] + a[0]) * (b[1] + b[0]) % P
    y, z = 2 * a[3] * b[3] * D % P, 2 * a[2] * b[2] % P
    e, f, g, h = x - w, z - y, z + y, x + w
    return e * f % P, g * h % P, f * g % P, e * h % P


def _times(number: int, point: Point) -> Point:
    rest = _times(number >> 1, add(point, point)) if number else (0, 1, 1, 0)
    return add(rest, point) if number & 1 else rest


def point_of(packed: bytes) -> Point | None:
    """Return the point that 32 bytes stand for, None where they stand for none."""
    y = int.from_bytes(packed, "little")
    sign, y = y >> 255, y & ((1 << 255) - 1)
    x2 = (y * y - 1) * pow(D * y * y + 1, P - 2, P) % P
    x = pow(x2, (P + 3) // 8, P)
    x = x * pow(2, (P - 1) // 4, P) % P if (x * x - x2) % P else x
    if y >= P or (x * x - x2) % P or (x == 0 and sign):
        return None
    x = P - x if x & 1 != sign else x
    return x, y, 1, x * y % P


BASE = point_of((4 * pow(5, P - 2, P) % P).to_bytes(32, "little"))


def signature_holds(key: bytes, message: bytes, signature: bytes) -> bool:
    """Whether an Ed25519 signature is that of a public key; all three are bytes."""
    a = point_of(key) if len(key) == 32 and len(signature) == 64 else None
    s = int.from_bytes(signature[32:], "little")
    if a is None or BASE is None or s >= Q:
        return False
    k = int.from_bytes(hashlib.sha512(signature[:32] + key + message).digest(), "little") % Q
    found = add(_times(s, BASE), _times(k, (P - a[0], a[1], 1, P - a[3])))
    x, y = (part * pow(found[2], P - 2, P) % P for part in found[:2])
    return (y | (x & 1) << 255).to_bytes(32, "little") == signature[:32]


def roots(leaves: list[bytes], sizes: set[int]) -> dict[int, bytes]:
    """Return the root (RFC 9162, 2.1.1) of the first so many leaf hashes, by size."""
    found = {0: _sha256(b"")}
    whole: list[tuple[int, bytes]] = []
    for size, leaf in enumerate(leaves, 1):
        width = 1
        while whole and whole[-1][0] == width:
            leaf, width = _sha256(b"\x01" + whole.pop()[1] + leaf), 2 * width
        whole.append((width, leaf))
        if size in sizes:
            found[size] = reduce(lambda b, a: _sha256(b"\x01" + a[1] + b), whole[-2::-1], leaf)
    return found


def leaf_of(line: bytes) -> tuple[str, bytes]:
    """Return the leaf hash of a receipt: id, time of arrival, skew, in the order of RFC 8785."""
    one = json.loads(line, parse_float=str)  # a number keeps the figures that it was written with
    skew = "null" if one["skew"] is None else one["skew"]
    received = json.dumps(one["received"], ensure_ascii=False)
    text = f'{{"id":"{one["id"]}","received":{received},"skew":{skew}}}'
    hidden = bytes.fromhex(one.get("leaf", ""))  # nothing else is told of another job's event
    return "" if hidden else one["id"], hidden or _sha256(b"\0" + text.encode())


def check_beside(beside: dict[str, Any], content: bytes, name: str, say: Say) -> None:
    """Check signature and personal texts that stand beside an event; neither is in its hash."""
    for hidden, (salt, text) in beside.get("opened", {}).items():
        packed = bytes.fromhex(salt) + json.dumps(text, ensure_ascii=False).encode()
        if _sha256(packed).hex() != hidden or f'{{"personal":"{hidden}"}}'.encode() not in content:
            say(False, f"event {name[:12]}: a personal text is not the one it was")
    key, signed = (bytes.fromhex(beside.get(part, "")) for part in ("key", "signature"))
    if (key or signed) and not signature_holds(key, f"wainscot event 1\n{name}\n".encode(), signed):
        say(False, f"event {name[:12]}: its signature is not that of its key")


def check_events(lines: Iterable[bytes], say: Say) -> list[str]:
    """Check id, chain and what stands beside every event; return the ids."""
    links: dict[str, dict[int, list[Any]]] = {}
    ids: list[str] = []
    for line in lines:
        one, text = json.loads(line), line.decode()
        name, beside = one["id"], one.setdefault("beside", {})
        if text.startswith('{"beside":'):
            text = "{" + text[json.JSONDecoder().raw_decode(text, 10)[1] + 1 :]
        # Keys are sorted and quotes in texts escaped, so the id's own words stand there once.
        content = text.replace(f'"id":"{name}",', "", 1).encode()
        if _sha256(content).hex() != name:
            say(False, f"event {name[:12]} was altered: its content has another hash")
        check_beside(beside, content, name, say)
        ids.append(name)
        links.setdefault(one["device"], {}).setdefault(one["seq"], []).append(one)
    for device, by_number in sorted(links.items()):
        keys = Counter(one["beside"].get("key", "") for some in by_number.values() for one in some)
        for key, count in keys.items():
            by = f"signed by key {_sha256(bytes.fromhex(key)).hex()[:16]}" if key else "not signed"
            say(None, f"{device}: {count} events {by}")
        for number, found in sorted(by_number.items()):
            if len(found) > 1:
                say(None, f"{device}: number {number} stands {len(found)} times")
            if number > 1 and number - 1 not in by_number:
                say(None, f"{device}: events before number {number} are not here")
            before = [one["id"] for one in by_number.get(number - 1, ())] if number > 1 else [""]
            if before and any(one["prev"] not in before for one in found):
                say(False, f"{device}: number {number} names another event before it")
    say(True, f"{len(ids)} events of {len(links)} devices read")
    return ids


def check_heads(heads: list[Any], leaves: list[bytes], say: Say) -> None:
    """Check heads against the tree over the leaves, and their signatures."""
    found = roots(leaves, {one["size"] for one in heads})
    for one in heads:
        name = f"head of {one['size']} events"
        if one["size"] not in found:
            say(False, f"{name}: only {len(leaves)} events are here; what came after is missing")
        elif found[one["size"]].hex() != one["root"]:
            say(False, f"{name}: these are not the events that it was given out for")
        elif "key" in one:
            text = f"wainscot head 1\n{one['size']}\n{one['root']}\n{one['time']}\n{one['key']}\n"
            key = bytes.fromhex(one["key"])
            good = signature_holds(key, text.encode(), bytes.fromhex(one["signature"]))
            say(good, f"{name} holds; signed by key {_sha256(key).hex()[:16]}: {good}")
        else:
            say(True, f"{name}: holds; it was given without a signature")
    last = max([one["size"] for one in heads if one["size"] in found], default=0)
    if last < len(leaves):
        say(None, f"events {last + 1} to {len(leaves)} came after the last head: not shown")


def main(arguments: list[str]) -> int:
    """Check the file that is named; return the exit code."""
    bad: list[str] = []

    def say(good: bool | None, text: str) -> None:
        print({True: "good ", None: "note ", False: "BAD  "}[good] + text)
        bad.extend([text] * (good is False))

    root = "".join(arguments[2:]).replace(" ", "").lower()
    typed = [{"size": int(arguments[1]), "root": root}] if root else []
    with zipfile.ZipFile(arguments[0]) as packed:
        names = {one.rpartition("/record/")[2]: one for one in packed.namelist()}
        large = any(one.file_size > LARGEST for one in packed.infolist())
        if large or len(names) < len(packed.namelist()):
            raise ValueError("a member is too long, or stands twice")
        lines = {one: packed.read(names[one]).splitlines() for one in names if ".jsonl" in one}
        ids = check_events(lines.get("events.jsonl", []), say)
        leaves = [leaf_of(line) for line in lines.get("receipts.jsonl", [])]
        if sorted(name for name, _ in leaves if name) != sorted(ids):
            say(False, "events and the list of their arrival do not agree")
        say(None, f"{len(leaves) - len(ids)} events are a hash alone: of other jobs, or left out")
        heads = [json.loads(line) for line in lines.get("heads.jsonl", [])]
        check_heads(heads + typed, [leaf for _, leaf in leaves], say)
        photos = [one for one in names if one.startswith("blobs/")]
        for name in [one for one in photos if _sha256(packed.read(names[one])).hex() != one[6:]]:
            say(False, f"photo {name[6:18]} was altered")
        say(True, f"{len(photos)} photos read")
    if not typed:
        say(None, "no head from outside was given: whoever holds the record can make its own anew")
    print("NOT WHOLE" if bad else "whole, as far as the heads reach")
    return 1 if bad else 0


if __name__ == "__main__":
    try:
        sys.exit(main(sys.argv[1:]))
    except Exception as error:  # whatever it is, the file was not checked
        print(f"cannot be read: {error!r}", file=sys.stderr)
        sys.exit(2)
