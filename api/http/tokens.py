"""Short-lived tokens for addresses: a browser's own event stream cannot send a key.

A token is signed with its client's key, for one study's events; it ends after a while, and
with the key.
"""

from __future__ import annotations

import time
from datetime import datetime

from itsdangerous import BadSignature, URLSafeTimedSerializer

from api.http.clients import Client, client_of_key, unauthorized
from api.http.wire import moment
from api.settings import Settings

_PURPOSE = "closet study events"


def issue(settings: Settings, client: Client, study_id: str) -> tuple[str, datetime] | None:
    """A token for the events of a client's study, with its end; None where no keys are set."""
    for name, key in settings.api_keys.items():
        if client_of_key(name) == client:
            token = _signer(key.get_secret_value()).dumps(study_id)
            return str(token), moment(time.time() + settings.stream_token_s)
    return None


def holder(settings: Settings, token: str, study_id: str) -> Client:
    """Whose token it is; 401 for one that is made up, over, or for another study."""
    for name, key in settings.api_keys.items():
        try:
            meant = _signer(key.get_secret_value()).loads(token, max_age=settings.stream_token_s)
        except BadSignature:
            continue
        if meant == study_id:
            return client_of_key(name)
    raise unauthorized("the token is over, or not for these events; ask for a new one")


def _signer(key: str) -> URLSafeTimedSerializer:
    """What signs and reads the tokens of one key."""
    return URLSafeTimedSerializer(key, salt=_PURPOSE)
