"""Two servers on one database share the work, the queue and the truth."""

from __future__ import annotations

import time
from collections.abc import Callable

from tests.service.harness import Server, brief, patient

MakeServer = Callable[..., Server]


def start_both(make_server: MakeServer, url: str) -> tuple[Server, Server]:
    """Two servers started at the same moment on an empty database."""
    one, other = make_server(url, workers=1), make_server(url, workers=1)
    one.start(ready=False)
    other.start(ready=False)
    one.wait_ready()
    other.wait_ready()
    return one, other


def test_two_servers_share_one_database(make_server: MakeServer, database_url: str) -> None:
    """Each study runs once, whoever took it in; either server tells all about it."""
    one, other = start_both(make_server, database_url)
    accepted = [
        (one, other)[number % 2].accept(brief(f"slow 0.4 {number}")) for number in range(10)
    ]
    for number, study in enumerate(accepted):
        reader = (other, one)[number % 2]
        ended = reader.wait_for(study["id"])
        assert (ended["status"], ended["attempts"]) == ("optimal", 1)
        assert [e["event"] for e in reader.events(study["id"])].count("end") == 1
    runs = {
        entry["study_id"]: server.port
        for server in (one, other)
        for entry in server.log_entries()
        if entry["message"] == "run begins"
    }
    assert set(runs) == {study["id"] for study in accepted}
    assert set(runs.values()) == {one.port, other.port}, "both servers worked"
    reach_across(one, other)


def reach_across(one: Server, other: Server) -> None:
    """Streams, waits and cancels reach across; a dead server's study is taken up."""
    busy = one.accept(brief("slow 60 busy"))
    until = time.monotonic() + patient(10)
    while not (owner := [s for s in (one, other) if ran(s, busy["id"])]):
        assert time.monotonic() < until
        time.sleep(0.05)
    holder, free = owner[0], other if owner[0] is one else one
    with free.client.stream("GET", f"/v1/studies/{busy['id']}/events") as stream:
        assert next(line for line in stream.iter_lines() if line.startswith("event: "))
    free.client.post(f"/v1/studies/{busy['id']}/cancellation")
    assert holder.wait_for(busy["id"])["status"] == "cancelled"
    key = {"Idempotency_Key": "across"}
    first = holder.post(brief("plain across"), **key)
    again = free.post(brief("plain across"), **key)
    assert again.json()["id"] == first.json()["id"]
    doomed = [holder.accept(brief(f"slow 2 doomed {number}")) for number in range(2)]
    time.sleep(0.6)
    holder.kill()
    for study in doomed:
        ended = free.wait_for(study["id"], timeout_s=20)
        assert (ended["status"], len(ended["layouts"])) == ("optimal", 3)
        assert [e["event"] for e in free.events(study["id"])].count("end") == 1


def ran(server: Server, study_id: str) -> bool:
    """Whether a server's worker began the study."""
    return any(
        entry["message"] == "run begins" and entry.get("study_id") == study_id
        for entry in server.log_entries()
    )
