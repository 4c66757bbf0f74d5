"""Clients that are slow, silent, rude or gone take nothing from the others."""

from __future__ import annotations

import json
import socket
import time
from collections.abc import Iterator

import pytest

from tests.service.harness import Server, brief, patient

HEAD_S, BODY_S, SEND_S = 1.0, 1.0, 1.5
WIDE_S = 6.0
"""Slack for a busy machine."""


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server with short patience."""
    made = Server(
        tmp_path_factory.mktemp("patience"),
        header_timeout_s=HEAD_S,
        body_timeout_s=BODY_S,
        send_timeout_s=SEND_S,
        keep_alive_s=2,
        max_streams_per_client=100,
        max_active_per_client=500,
    )
    try:
        yield made.start()
    finally:
        made.close()


def connect(server: Server) -> socket.socket:
    """A bare connection."""
    return socket.create_connection(("127.0.0.1", server.port), timeout=20)


def read_all(connection: socket.socket) -> bytes:
    """What comes until the server closes the connection."""
    received = b""
    try:
        while piece := connection.recv(65536):
            received += piece
    except ConnectionResetError:
        pass
    return received


def head(length: int) -> bytes:
    """The head of a POST whose body has that length."""
    return (
        b"POST /v1/studies HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\n"
        b"Content-Length: " + str(length).encode() + b"\r\n\r\n"
    )


def test_a_head_that_never_ends_is_dropped(server: Server) -> None:
    """A connection that trickles its head is closed in time, however busy it looks."""
    with connect(server) as connection:
        began = time.monotonic()
        connection.sendall(b"GET /healthz HTTP/1.1\r\n")
        closed = False
        while time.monotonic() - began < patient(WIDE_S) and not closed:
            try:
                connection.sendall(b"X-Slow: 1\r\n")
                time.sleep(0.2)
            except OSError:
                closed = True
        assert closed
        assert time.monotonic() - began >= HEAD_S * 0.8


def test_a_silent_connection_is_dropped(server: Server) -> None:
    """Connecting and saying nothing is not kept for ever."""
    with connect(server) as connection:
        began = time.monotonic()
        assert read_all(connection) == b""
        assert HEAD_S * 0.8 <= time.monotonic() - began < patient(WIDE_S)


def test_a_body_that_never_ends_is_answered_408(server: Server) -> None:
    """A trickling body is given up with a problem, and makes no study."""
    with connect(server) as connection:
        connection.sendall(head(10_000))
        began = time.monotonic()
        received = b""
        connection.settimeout(0.2)
        while time.monotonic() - began < patient(WIDE_S):
            try:
                connection.sendall(b" ")
                piece = connection.recv(65536)
            except TimeoutError:
                continue
            except OSError:
                break
            received += piece  # head and body may come apart
            if not piece or b"request_timeout" in received:
                break
        assert received.startswith(b"HTTP/1.1 408")
        assert b"request_timeout" in received


def test_a_client_that_leaves_before_its_body_is_whole_makes_nothing(server: Server) -> None:
    """Half a body is no request."""
    body = json.dumps(brief("plain half")).encode()
    with connect(server) as connection:
        connection.sendall(head(len(body)) + body[:-10])
    time.sleep(0.5)
    listed = server.client.get("/v1/studies?name=plain%20half").json()["items"]
    assert listed == []


def test_a_client_that_leaves_before_the_answer_loses_nothing(server: Server) -> None:
    """The request was whole: its study is made and ends, and its key finds it again."""
    body = json.dumps(brief("slow 1 left")).encode()
    request = head(len(body)).replace(
        b"Host: localhost", b"Host: localhost\r\nPrefer: wait=10\r\nIdempotency-Key: left"
    )
    with connect(server) as connection:
        connection.sendall(request + body)
        until = time.monotonic() + patient(WIDE_S)
        while not (listed := server.client.get("/v1/studies?name=slow%201%20left").json()["items"]):
            assert time.monotonic() < until
            time.sleep(0.05)
    ended = server.wait_for(listed[0]["id"])
    assert (ended["status"], len(ended["layouts"])) == ("optimal", 3)
    again = server.post(brief("slow 1 left"), Idempotency_Key="left", Prefer="wait=10")
    assert again.json()["id"] == ended["id"]


def test_a_client_that_does_not_read_is_dropped(server: Server) -> None:
    """Asking for much and reading nothing ends the connection, and nobody else waits."""
    study = server.accept(brief("big"), Prefer="wait=10")
    with connect(server) as connection:
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 2048)
        request = f"GET /v1/studies/{study['id']} HTTP/1.1\r\nHost: localhost\r\n\r\n".encode()
        began = time.monotonic()
        dropped = False
        connection.settimeout(0.5)
        while time.monotonic() - began < patient(2 * WIDE_S) and not dropped:
            try:
                connection.sendall(request * 50)
                time.sleep(0.2)
            except TimeoutError:
                continue
            except OSError:
                dropped = True
            assert server.client.get("/healthz").status_code == 200
        assert dropped


def test_what_is_no_http_is_answered_400(server: Server) -> None:
    """Garbage gets a problem document and a closed connection."""
    with connect(server) as connection:
        connection.sendall(b"\x16\x03\x01 hello\r\n\r\n")
        answer = read_all(connection)
    assert answer.startswith(b"HTTP/1.1 400")
    assert b"application/problem+json" in answer
    assert json.loads(answer.split(b"\r\n\r\n", 1)[1])["code"] == "malformed_request"


@pytest.mark.parametrize(
    "request_bytes",
    [
        b"GET /%ff%fe HTTP/1.1\r\nHost: localhost\r\n\r\n",
        b"GET /v1/studies?limit=%ff HTTP/1.1\r\nHost: localhost\r\n\r\n",
        b"GET /v1/studies?name=%00 HTTP/1.1\r\nHost: localhost\r\n\r\n",
        b"GET /v1/studies?created_after=9999999999999999999 HTTP/1.1\r\nHost: localhost\r\n\r\n",
        b"GET / HTTP/1.1\r\nHost: localhost\r\nX-A: " + b"a" * 100_000 + b"\r\n\r\n",
        b"GET /" + b"a" * 100_000 + b" HTTP/1.1\r\nHost: localhost\r\n\r\n",
        b"POST /v1/studies HTTP/1.1\r\nHost: localhost\r\nContent-Length: -1\r\n\r\n",
        b"POST /v1/studies HTTP/1.1\r\nHost: localhost\r\n"
        b"Content-Length: 1\r\nContent-Length: 2\r\n\r\nab",
        b"GET /v1/studies HTTP/1.1\r\nHost: localhost\r\n"
        b"Connection: upgrade\r\nUpgrade: websocket\r\n\r\n",
        b"DELETE /v1/studies/0123 HTTP/1.1\r\nHost: localhost\r\nContent-Length: 3\r\n\r\nabc",
    ],
)
def test_odd_requests_are_answered_and_not_with_a_failure(
    server: Server, request_bytes: bytes
) -> None:
    """Each gets one answer below 500 (or is cut off), and the service lives on."""
    with connect(server) as connection:
        connection.sendall(request_bytes)
        connection.shutdown(socket.SHUT_WR)
        answer = read_all(connection)
    assert answer == b"" or 200 <= int(answer.split()[1]) < 500, answer[:300]
    assert server.client.get("/healthz").status_code == 200


def test_a_crowd_of_idle_connections_leaves_room(server: Server) -> None:
    """Two hundred connections that do nothing keep nobody out."""
    crowd = [connect(server) for _ in range(200)]
    try:
        began = time.monotonic()
        assert server.accept(brief("plain crowd"), Prefer="wait=10")["status"] == "optimal"
        assert time.monotonic() - began < patient(WIDE_S)
    finally:
        for connection in crowd:
            connection.close()


def test_streams_that_are_dropped_give_their_places_back(server: Server) -> None:
    """A client that vanishes from its streams is noticed."""
    study = server.accept(brief("stuck dropped"))
    server.wait_for_layout(study["id"], 2)
    request = f"GET /v1/studies/{study['id']}/events HTTP/1.1\r\nHost: localhost\r\n\r\n".encode()
    for _ in range(20):
        with connect(server) as connection:
            connection.sendall(request)
            assert connection.recv(100)
    until = time.monotonic() + patient(WIDE_S)
    while time.monotonic() < until:
        if "closet_event_streams 0.0" in server.client.get("/metrics").text:
            break
        time.sleep(0.1)
    assert "closet_event_streams 0.0" in server.client.get("/metrics").text
    server.client.delete(f"/v1/studies/{study['id']}")
