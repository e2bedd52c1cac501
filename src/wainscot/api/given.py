"""What routes are handed, with the bounds of what stands in an address."""

from __future__ import annotations

from typing import Annotated

from litestar.di import NamedDependency
from litestar.params import PathParameter

from wainscot.api.desk import Caller, Desk

TheDesk = NamedDependency[Desk]
"""What the server holds."""
TheCaller = NamedDependency[Caller]
"""Who asks."""
TheClient = NamedDependency[str]
"""The address that the request came from."""

JobKey = Annotated[str, PathParameter(max_length=200)]
Key = Annotated[str, PathParameter(max_length=64)]
Digest = Annotated[str, PathParameter(pattern="^[0-9a-f]{64}$")]
