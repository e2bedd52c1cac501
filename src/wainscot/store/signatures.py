"""Whether a device's signature beside an event is that of the key that it names.

With ``cryptography`` a signature takes a tenth of a millisecond; without it the verifier that
stands alone does the same in a hundred times that.

Limits: a signature says that the key was there, not who held it.
"""

from __future__ import annotations

from wainscot.record import Event, RecordError, signed_text
from wainscot.store.alone import signature_holds


def hexadecimal(text: str, length: int) -> bool:
    """Whether a text is so many figures of hexadecimal, small letters.

    Parameters
    ----------
    text : str
        Any text.
    length : int
        Figures.
    """
    return len(text) == length and set(text) <= set("0123456789abcdef")


def good(key: str, message: bytes, signature: str) -> bool:
    """Whether an Ed25519 signature (RFC 8032) is that of a public key.

    Parameters
    ----------
    key, signature : str
        Hexadecimal.
    message : bytes
        What was signed.
    """
    if not (hexadecimal(key, 64) and hexadecimal(signature, 128)):
        return False
    parts = bytes.fromhex(key), message, bytes.fromhex(signature)
    try:
        from cryptography.exceptions import InvalidSignature
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
    except ImportError:
        return signature_holds(*parts)
    try:
        Ed25519PublicKey.from_public_bytes(parts[0]).verify(parts[2], message)
    except (InvalidSignature, ValueError):
        return False
    return True


def check_signature(event: Event) -> None:
    """Refuse an event whose signature does not fit; one without any is let in.

    Raises
    ------
    RecordError
        Says which event.
    """
    beside = event.beside
    if beside.key and not good(beside.key, signed_text(event.id), beside.signature):
        raise RecordError(
            f"event {event.id[:12]}: its signature is not that of its key; send it again as the "
            "device wrote it"
        )
