"""Many clients at once on a short queue: nothing lost, refusals honest."""

from __future__ import annotations

import asyncio
import time
from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any

import httpx
import pytest

from tests.service.harness import NO_TLS, Server, brief, patient

CLIENTS = 100
RETURNING = 40
"""Clients that come back until they are served: each asks again and again."""


async def crowd(
    server: Server, work: Callable[[httpx.AsyncClient, int], Any], clients: int = CLIENTS
) -> list[Any]:
    """What each of the clients got, all of them at once."""
    limits = httpx.Limits(max_connections=clients, max_keepalive_connections=clients)
    async with httpx.AsyncClient(
        base_url=server.url, timeout=120, limits=limits, verify=NO_TLS
    ) as client:
        return await asyncio.gather(*(work(client, number) for number in range(clients)))


@pytest.fixture(scope="module")
def _short_queue(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    folder = tmp_path_factory.mktemp("short")
    server = Server(folder, max_queue=20, max_active_per_client=150)
    try:
        yield server.start()
    finally:
        server.close()


@pytest.fixture
def server(_short_queue: Server) -> Server:
    """A server that lets twenty studies wait; emptied."""
    _short_queue.empty()
    return _short_queue


def test_a_short_queue_loses_nothing(server: Server) -> None:
    """Who is accepted gets a result; who is refused is told the limit and when to return."""

    async def once(client: httpx.AsyncClient, number: int) -> httpx.Response:
        return await client.post(
            "/v1/studies", json=brief(f"slow 0.2 {number}"), headers={"Prefer": "wait=1"}
        )

    answers = asyncio.run(crowd(server, once))
    counted = Counter(answer.status_code for answer in answers)
    assert set(counted) <= {201, 202, 503}, counted
    assert counted[503] > 0, "the queue is short"
    for answer in answers:
        if answer.status_code == 503:
            assert answer.json()["code"] == "queue_full"
            assert answer.json()["limit"] == 20
            assert int(answer.headers["Retry-After"]) >= 1
    accepted = {answer.json()["id"] for answer in answers if answer.status_code != 503}
    for study_id in accepted:
        ended = server.wait_for(study_id, timeout_s=60)
        assert (ended["status"], len(ended["layouts"])) == ("optimal", 3)
    assert server.ids() == accepted, "no study that nobody was told of, and none missing"


def test_one_clients_limit_is_kept_exactly(narrow_server: Server) -> None:
    """However many requests race, no more studies are under way than the limit says."""
    server = narrow_server

    async def once(client: httpx.AsyncClient, number: int) -> httpx.Response:
        return await client.post("/v1/studies", json=brief(f"plain {number}"))

    answers = asyncio.run(crowd(server, once))
    assert Counter(answer.status_code for answer in answers) == {202: 7, 429: CLIENTS - 7}
    assert len(server.ids()) == 7


def test_clients_that_return_are_all_served(server: Server) -> None:
    """Everyone who comes back after Retry-After gets a result, once, under one key."""

    async def insist(client: httpx.AsyncClient, number: int) -> str:
        headers = {"Prefer": "wait=20", "Idempotency-Key": f"insists-{number}"}
        data = brief(f"plain {number}")
        while True:
            answer = await client.post("/v1/studies", json=data, headers=headers)
            if answer.status_code in {201, 202}:
                study_id: str = answer.json()["id"]
                return study_id
            assert answer.status_code == 503
            await asyncio.sleep(int(answer.headers["Retry-After"]) / 4)

    began = time.monotonic()
    made = asyncio.run(crowd(server, insist, RETURNING))
    assert len(set(made)) == RETURNING
    for study_id in made:
        assert server.wait_for(study_id, timeout_s=60)["status"] == "optimal"
    assert time.monotonic() - began < patient(120)
    assert server.ids() == set(made)


def test_one_key_makes_one_study_however_many_ask(server: Server) -> None:
    """A hundred equal requests at once under one key: one study, told to all."""

    async def once(client: httpx.AsyncClient, _: int) -> str:
        answer = await client.post(
            "/v1/studies", json=brief("slow 1"), headers={"Idempotency-Key": "all-the-same"}
        )
        assert answer.status_code in {201, 202}
        study_id: str = answer.json()["id"]
        return study_id

    made = asyncio.run(crowd(server, once))
    assert len(set(made)) == 1
    assert server.ids() == set(made)
