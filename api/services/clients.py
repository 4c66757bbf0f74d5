"""Who calls: by API key where keys are set, else by address."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Mapping
from dataclasses import dataclass

from api.problems import ServiceError
from api.settings import Settings

PUBLIC = "public"
"""Owner of every study while the service is open to all."""


@dataclass(frozen=True, slots=True)
class Client:
    """A caller: whose studies it sees, and whom its limits are counted for."""

    owner: str
    name: str


def identify(settings: Settings, headers: Mapping[str, str], address: str) -> Client:
    """The caller behind a request; 401 where keys are set and none of them is given."""
    if not settings.api_keys:
        digest = hashlib.sha256(address.encode()).hexdigest()[:16]
        return Client(PUBLIC, f"address:{digest}")
    given = _given_key(headers)
    found = None
    for name, key in settings.api_keys.items():
        # Every key is compared, in constant time, so that timing tells nothing.
        if hmac.compare_digest(key.get_secret_value().encode(), given.encode()):
            found = name
    if found is None:
        raise ServiceError(
            "unauthorized",
            "send an API key as Authorization: Bearer KEY or as X-API-Key: KEY",
            headers={"WWW-Authenticate": 'Bearer realm="closet layouts"'},
        )
    return Client(f"key:{found}"[:64], f"key:{found}"[:80])


def _given_key(headers: Mapping[str, str]) -> str:
    scheme, _, token = headers.get("authorization", "").partition(" ")
    if scheme.lower() == "bearer":
        return token.strip()
    return headers.get("x-api-key", "").strip()
