"""HTTP/1.1 with time limits on clients that send or read too slowly."""

from __future__ import annotations

import asyncio
import socket
from typing import Any

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

from api.http.errors import KINDS, MEDIA_TYPE, problem_bytes, problem_document


class GuardedProtocol(H11Protocol):
    """One connection: its request head must arrive, and its answers be read, in time."""

    header_timeout_s = 10.0
    send_timeout_s = 20.0

    def __init__(self, *arguments: Any, **named: Any) -> None:
        """Whatever uvicorn hands over; no timer runs yet."""
        super().__init__(*arguments, **named)
        self._head_timer: asyncio.TimerHandle | None = None
        self._send_timer: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Start to wait for the first request."""
        super().connection_made(transport)
        _limit_unread(transport, self.send_timeout_s)
        self._wait_for_head()

    def data_received(self, data: bytes) -> None:
        """Take in bytes; a head that is not whole yet must be so in time."""
        super().data_received(data)
        self._wait_for_head()

    def on_response_complete(self) -> None:
        """The keep-alive limit takes over from here."""
        self._clear_head_timer()
        super().on_response_complete()

    def connection_lost(self, exc: Exception | None) -> None:
        """Forget the timers with the connection."""
        self._clear_head_timer()
        self._clear_send_timer()
        super().connection_lost(exc)

    def pause_writing(self) -> None:
        """The client does not read: it has so long to go on."""
        super().pause_writing()
        self._clear_send_timer()
        # Paused means that the buffer is full: abort drops what is in it, close would wait for it.
        self._send_timer = self.loop.call_later(self.send_timeout_s, self.transport.abort)

    def resume_writing(self) -> None:
        """The client reads again."""
        self._clear_send_timer()
        super().resume_writing()

    def send_400_response(self, msg: str) -> None:
        """Answer what is no HTTP with a problem document."""
        body = problem_bytes(problem_document("malformed_request", msg))
        headers = [
            (b"content-type", MEDIA_TYPE.encode()),
            (b"content-length", str(len(body)).encode()),
            (b"connection", b"close"),
        ]
        status = KINDS["malformed_request"].status
        for event in (
            h11.Response(status_code=status, headers=headers, reason=b"Bad Request"),
            h11.Data(data=body),
            h11.EndOfMessage(),
        ):
            self.transport.write(self.conn.send(event) or b"")
        self.transport.close()

    def _wait_for_head(self) -> None:
        """Between two requests start the timer, during one stop it."""
        between = self.cycle is None or self.cycle.response_complete
        if not between:
            self._clear_head_timer()
        elif self._head_timer is None:
            self._head_timer = self.loop.call_later(self.header_timeout_s, self._give_up)

    def _give_up(self) -> None:
        """The time for a head is over: drop the connection, unless a request has begun."""
        self._head_timer = None
        if self.cycle is None or self.cycle.response_complete:
            self.transport.abort()

    def _clear_head_timer(self) -> None:
        """Stop the timer for a request's head."""
        if self._head_timer is not None:
            self._head_timer.cancel()
            self._head_timer = None

    def _clear_send_timer(self) -> None:
        """Stop the timer for a client that does not read."""
        if self._send_timer is not None:
            self._send_timer.cancel()
            self._send_timer = None


def guarded_protocol(header_timeout_s: float, send_timeout_s: float) -> type[GuardedProtocol]:
    """The guarded protocol with these times [s]."""
    times = {"header_timeout_s": header_timeout_s, "send_timeout_s": send_timeout_s}
    # uvicorn makes protocols itself, from a class: what varies has to be in the class.
    return type("TimedProtocol", (GuardedProtocol,), times)


def _limit_unread(transport: asyncio.Transport, seconds: float) -> None:
    """Have the kernel drop a peer that does not take what was sent within the time."""
    connection = transport.get_extra_info("socket")
    if connection is not None and hasattr(socket, "TCP_USER_TIMEOUT"):
        milliseconds = round(seconds * 1000)
        connection.setsockopt(socket.IPPROTO_TCP, socket.TCP_USER_TIMEOUT, milliseconds)
