"""Stamps of heads: somebody outside confirms that a head was there at a time (RFC 3161).

    asked = stamp_request(head)                      # bytes, to be sent to an authority
    stamp_of(head, answer, authority)                # when, or StampError

What is stamped is the text of the head, signature included.  Nothing is sent from here: whoever
wants a stamp sends the request and keeps the answer.

Limits: needs ``rfc3161-client`` (``pip install 'wainscot[proof]'``).  Which authority to trust is
for the reader to say; whether its certificate was revoked is not asked.  Answers whose certificates
do not stand in the order of DER are not read; ``openssl ts -verify`` reads them.
"""

from __future__ import annotations

import hashlib
import importlib.util
from typing import TYPE_CHECKING

from wainscot.record import Head, text_of
from wainscot.store.faults import StoreError

if TYPE_CHECKING:
    from cryptography.x509 import Certificate


class StampError(StoreError):
    """A stamp that is none of this head, or not of this authority."""


def stamp_request(head: Head) -> bytes:
    """Return what is sent to an authority (``application/timestamp-query``).

    The same head gives the same bytes: no number is drawn, for what counts is what was stamped.

    Parameters
    ----------
    head : Head
        Signed.

    Raises
    ------
    StampError
        If the head is not signed, or what makes requests is not installed.
    """
    _library()
    from rfc3161_client import HashAlgorithm, TimestampRequestBuilder

    made = TimestampRequestBuilder().data(_text(head)).hash_algorithm(HashAlgorithm.SHA256)
    return bytes(made.nonce(nonce=False).cert_request(cert_request=True).build().as_bytes())


def stamp_of(head: Head, answer: bytes, authority: bytes) -> str:
    """Return when an authority stamped a head, ISO 8601.

    Parameters
    ----------
    head : Head
        Signed.
    answer : bytes
        What the authority answered (``application/timestamp-reply``).
    authority : bytes
        Certificates that the reader trusts, PEM.

    Raises
    ------
    StampError
        If it is no answer, of another text, or not signed under those certificates.
    """
    _library()
    from rfc3161_client import VerificationError, VerifierBuilder, decode_timestamp_response

    builder = VerifierBuilder()
    for one in _certificates(authority):
        builder = builder.add_root_certificate(one)
    try:
        found = decode_timestamp_response(answer)
        builder.build().verify(found, hashlib.sha256(_text(head)).digest())
        return found.tst_info.gen_time.isoformat()
    except (VerificationError, ValueError) as error:
        why = f"it is no stamp of this head under that authority ({error})"
        raise StampError(why) from None


def _certificates(authority: bytes) -> list[Certificate]:
    from cryptography import x509

    try:
        return x509.load_pem_x509_certificates(authority)
    except ValueError:
        raise StampError("the authority's file holds no certificate in PEM") from None


def _text(head: Head) -> bytes:
    if not head.signature:
        raise StampError("only a whole head is stamped, not its number and figures alone")
    return text_of(head).encode()


def _library() -> None:
    if importlib.util.find_spec("rfc3161_client") is None:
        raise StampError("stamps need: pip install 'wainscot[proof]'")
