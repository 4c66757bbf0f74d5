"""Threads for reading what callers send: few, so that the rest of the service has its turn.

Reading is work for the processor. Python gives every busy thread an equal turn: were there as many
readers as requests, the event loop would get one turn in fifty.
"""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from functools import partial
from typing import Any, TypeVar
from weakref import WeakKeyDictionary

from anyio import CapacityLimiter, to_thread

READERS = 2
_T = TypeVar("_T")
_limiters: WeakKeyDictionary[asyncio.AbstractEventLoop, CapacityLimiter] = WeakKeyDictionary()


async def read_in_turn(read: Callable[..., _T], *arguments: Any) -> _T:
    """What `read` gives, in one of the few threads for that."""
    loop = asyncio.get_running_loop()
    # A limiter belongs to one event loop; tests run several.
    if loop not in _limiters:
        _limiters[loop] = CapacityLimiter(READERS)
    return await to_thread.run_sync(partial(read, *arguments), limiter=_limiters[loop])
