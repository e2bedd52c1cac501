"""Logging in, devices and accounts as they go in and come out over HTTP."""

from __future__ import annotations

from typing import Annotated

import msgspec
from msgspec import Meta

from wainscot.api.rights import Rank
from wainscot.api.shapes import Hash, Text
from wainscot.store import Role

Secret = Annotated[str, Meta(max_length=400)]
OwnDevice = Annotated[str, Meta(pattern="^(device_[0-9a-z]{10})?$")]  # made by itself, or none


class Login(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Name and password; ``token`` asks for the token itself, where there is no browser."""

    name: Text
    password: Secret
    token: bool = False


class Me(msgspec.Struct, frozen=True):
    """Who is asking; ``token`` only where it was asked for."""

    role: Rank
    account: str = ""
    name: str = ""
    device: str = ""
    token: str = ""


class OwnPassword(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The password until now and the one from now on."""

    present: Secret
    password: Secret


class PasswordChanged(msgspec.Struct, frozen=True):
    """How many other sessions ended, and how many devices stay registered."""

    ended: int
    devices: int


class NewDevice(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A device to register; ``token`` asks for the token itself, where there is no browser.

    ``device`` is the id under which it wrote before it was registered.  It keeps that id where no
    other device has it and the record holds nothing of it; else it is given a new one.
    """

    name: Text
    token: bool = False
    device: OwnDevice = ""


class DeviceAbout(msgspec.Struct, frozen=True):
    """A device; ``revoked`` says since when it may not come in any more."""

    id: str
    account: str
    name: str
    made: str
    revoked: str = ""
    token: str = ""


class JoinAsk(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """Whose phone is to join; the caller's own where ``account`` is empty."""

    account: Annotated[str, Meta(max_length=64)] = ""


class JoinCode(msgspec.Struct, frozen=True):
    """A code that lets a phone join once, what leads there, and what leads to the certificate.

    Pictures are addresses of the ``data:`` kind.  ``guide`` is empty where the certificate is not
    the firm's own.
    """

    code: str
    minutes: int
    name: str
    link: str
    picture: str
    guide: str
    guide_picture: str
    fingerprint: str


class Join(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A code as scanned or typed, what the phone is called, and the id under which it wrote."""

    code: Text
    name: Text
    device: OwnDevice = ""


class NewAccount(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """An account to make."""

    name: Text
    role: Role
    password: Secret


class AccountChange(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What changes of an account; what is left out stays."""

    role: Role | None = None
    disabled: bool | None = None
    password: Secret | None = None


class AccountAbout(msgspec.Struct, frozen=True):
    """An account."""

    id: str
    name: str
    role: Role
    disabled: bool
    made: str


class KeyTold(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The public Ed25519 key of the device that asks, hexadecimal."""

    key: Hash


class KeyAbout(msgspec.Struct, frozen=True):
    """The key that a device signs with."""

    device: str
    key: str
