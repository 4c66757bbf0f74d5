"""Server-sent events: complete, in order, resumable."""

from __future__ import annotations

import json
import time
from collections.abc import Callable

from tests.service.harness import Server, brief, parse_events, patient


def test_a_stream_tells_the_whole_story(shared_server: Server) -> None:
    """Queued, running, every layout, one end; ids rise by one from 1."""
    study = shared_server.accept(brief("slow 1 story"))
    events = shared_server.events(study["id"])
    assert [event["id"] for event in events] == list(range(1, len(events) + 1))
    kinds = [event["event"] for event in events]
    assert kinds[:2] == ["state", "state"]
    assert kinds[-1] == "end"
    assert kinds.count("end") == 1
    found = [event["data"] for event in events if event["event"] == "layout"]
    ended = shared_server.get(study["id"])
    assert [entry["layout"]["bays"] for entry in found] == [
        layout["bays"] for layout in ended["layouts"]
    ]
    bounds = [event["data"]["bound"] for event in events if event["event"] == "progress"]
    assert bounds
    assert all(bound is not None for bound in bounds)


def test_layouts_are_told_as_they_are_found(shared_server: Server) -> None:
    """The first layout comes long before the end."""
    study = shared_server.accept(brief("slow 6 early"))
    address = f"/v1/studies/{study['id']}/events"
    began = time.monotonic()
    first_layout = None
    with shared_server.client.stream("GET", address) as stream:
        for line in stream.iter_lines():
            if line == "event: layout":
                first_layout = time.monotonic() - began
                break
    assert first_layout is not None
    assert shared_server.get(study["id"])["state"] == "running"
    shared_server.client.delete(f"/v1/studies/{study['id']}")


def test_a_broken_stream_goes_on_where_it_was(shared_server: Server) -> None:
    """Last-Event-ID gives exactly what came after it, during the run and long after."""
    study = shared_server.accept(brief("slow 2 resumed"))
    text = ""
    with shared_server.client.stream("GET", f"/v1/studies/{study['id']}/events") as stream:
        for piece in stream.iter_text():
            text += piece
            if "event: layout" in text and text.endswith("\n\n"):
                break
    before = parse_events(text)
    after = shared_server.events(study["id"], after=before[-1]["id"])
    everything = shared_server.events(study["id"])
    assert before + after == everything


def test_a_silent_stream_is_kept_alive(shared_server: Server) -> None:
    """While nothing happens, comments show that the connection lives."""
    study = shared_server.accept(brief("stuck silently"))
    shared_server.wait_for_layout(study["id"], 2)
    with shared_server.client.stream("GET", f"/v1/studies/{study['id']}/events") as stream:
        lines = []
        for line in stream.iter_lines():
            lines.append(line)
            if line.startswith(":"):
                break
    assert lines[-1] == ": still here"
    shared_server.client.delete(f"/v1/studies/{study['id']}")


def test_a_stream_ends_when_its_study_is_deleted(shared_server: Server) -> None:
    """Nobody waits for ever on what is gone."""
    study = shared_server.accept(brief("stuck deleted"))
    shared_server.wait_for_layout(study["id"], 2)
    with shared_server.client.stream("GET", f"/v1/studies/{study['id']}/events") as stream:
        lines = stream.iter_lines()
        assert next(lines).startswith("retry:")
        shared_server.client.delete(f"/v1/studies/{study['id']}")
        rest = list(lines)
    assert not [line for line in rest if line == "event: end"]


def test_a_client_has_only_so_many_streams(narrow_server: Server) -> None:
    """One stream too many is refused with the limit; a place given back is free again."""
    server = narrow_server
    study = server.accept(brief("stuck streams"))
    address = f"/v1/studies/{study['id']}/events"
    with server.client.stream("GET", address) as one, server.client.stream("GET", address) as two:
        assert (one.status_code, two.status_code) == (200, 200)
        refused = server.client.get(address)
        assert refused.status_code == 429
        assert refused.json()["limit"] == 2
        assert int(refused.headers["Retry-After"]) >= 1
    until = time.monotonic() + patient(5)
    while time.monotonic() < until:
        with server.client.stream("GET", address) as again:
            if again.status_code == 200:
                break
            again.read()
            time.sleep(0.1)
    assert again.status_code == 200


def test_data_of_events_is_json(shared_server: Server) -> None:
    """Every data line is one JSON object, as the page says."""
    study = shared_server.accept(brief("plain json"), Prefer="wait=10")
    with shared_server.client.stream("GET", f"/v1/studies/{study['id']}/events") as stream:
        data = [line[6:] for line in stream.iter_lines() if line.startswith("data: ")]
    assert data
    assert all(isinstance(json.loads(text), dict) for text in data)


def test_a_provisional_layout_is_told_and_replaced(shared_server: Server) -> None:
    """It is there while the study runs, counts for none found, and gives way to the first."""
    study = shared_server.accept(brief("early 8"))
    running = shared_server.wait_for_layout(study["id"])
    assert running["state"] == "running"
    assert [layout["status"] for layout in running["layouts"]] == ["provisional"]
    assert running["progress"]["layouts_found"] == 0
    ended = shared_server.wait_for(study["id"])
    told = [e["data"] for e in shared_server.events(study["id"]) if e["event"] == "layout"]
    assert [(one["rank"], one["layout"]["status"]) for one in told[:2]] == [
        (1, "provisional"),
        (1, "optimal"),
    ]
    assert told[0]["layout"]["score"] < told[0]["layout"]["bound"] == 99.0
    assert [layout["bays"] for layout in ended["layouts"]] == [
        one["layout"]["bays"] for one in told[1:]
    ]


def test_a_provisional_layout_outlives_its_run(
    make_server: Callable[..., Server],
) -> None:
    """Of a run that is killed: it counts as stopped, with the bound that was proved."""
    server = make_server(stop_grace_s=0.5).start()
    study = server.accept(brief("early stuck"))
    server.wait_for_layout(study["id"])
    server.client.post(f"/v1/studies/{study['id']}/cancellation")
    ended = server.wait_for(study["id"])
    assert ended["status"] == "cancelled"
    [layout] = ended["layouts"]
    assert (layout["rank"], layout["status"], layout["bound"]) == (1, "time_limit", 99.0)
