"""Every refusal is a problem document that says what to do about it."""

from __future__ import annotations

import json
from typing import Any

import pytest

from api.http.errors import KINDS
from tests.service.harness import Server, brief

MEMBERS = {"type", "title", "status", "detail", "code", "errors", "instance", "request_id"}


def assert_problem(answer: Any, status: int, code: str) -> dict[str, Any]:
    """The answer is a problem of that status and code; gives its document."""
    assert (answer.status_code, answer.headers["Content-Type"]) == (
        status,
        "application/problem+json",
    ), answer.text
    document: dict[str, Any] = answer.json()
    assert set(document) - {"limit"} == MEMBERS
    assert (document["status"], document["code"]) == (status, code)
    assert document["type"] == f"/v1/problems/{code}"
    assert document["request_id"] == answer.headers["X-Request-ID"]
    return document


@pytest.mark.parametrize(
    ("body", "status", "code"),
    [
        (b"{", 400, "malformed_json"),
        (b"", 400, "malformed_json"),
        (b"\xff\xfe", 400, "malformed_json"),
        (b'{"name": NaN}', 422, "invalid_body"),
        (b'{"name": 1e999}', 422, "invalid_body"),
        (b'{"name": "a", "name": "b"}', 422, "invalid_body"),
        (b'{"name": "\\ud800"}', 422, "invalid_body"),
        (b'{"name": ' + b"9" * 5000 + b"}", 400, "malformed_json"),
        (b"[" * 100_000, 422, "invalid_body"),
        (b"[" * 30 + b"]" * 30, 422, "invalid_body"),
        (b"null", 422, "invalid_brief"),
        (b"[]", 422, "invalid_brief"),
        (b"{}", 422, "invalid_brief"),
    ],
)
def test_bodies_that_are_no_briefs(
    shared_server: Server, body: bytes, status: int, code: str
) -> None:
    """Broken, doubled, endless or deep JSON is refused for what it is."""
    answer = shared_server.client.post(
        "/v1/studies", content=body, headers={"Content-Type": "application/json"}
    )
    assert_problem(answer, status, code)


@pytest.mark.parametrize(
    "content_type",
    [
        "text/plain",
        "application/xml",
        "",
        "application/json; charset=latin-1",
        "multipart/form-data",
    ],
)
def test_bodies_of_other_types(shared_server: Server, content_type: str) -> None:
    """Only JSON in UTF-8 is read; the answer says so."""
    answer = shared_server.client.post(
        "/v1/studies",
        content=json.dumps(brief()),
        headers={"Content-Type": content_type} if content_type else {},
    )
    document = assert_problem(answer, 415, "unsupported_media_type")
    assert "application/json" in document["detail"]


def test_faults_lead_to_their_fields(shared_server: Server) -> None:
    """Every fault at once, each with a JSON Pointer into the body."""
    data = brief(
        room={"ceiling_height": -1, "walls": [{"id": "A", "length": "long"}]},
        needs={"short_hang": True, "itmes": []},
        options={"alternatives": 1.5},
    )
    document = assert_problem(shared_server.post(data), 422, "invalid_brief")
    assert {entry["pointer"] for entry in document["errors"]} == {
        "/room/ceiling_height",
        "/room/walls/0/length",
        "/needs/short_hang",
        "/needs/itmes",
        "/options/alternatives",
    }


def wall(number: int) -> dict[str, Any]:
    """One of many walls."""
    return {"id": f"W{number}", "length": 50}


def item(number: int) -> dict[str, Any]:
    """One of many items."""
    return {"id": f"i{number}", "width": 9, "depth": 9, "height": 9}


@pytest.mark.parametrize(
    ("change", "pointer", "limit"),
    [
        (
            {
                "room": {
                    "ceiling_height": 96,
                    "walls": [{"id": f"W{n}", "length": 50} for n in range(25)],
                }
            },
            "/room/walls",
            24,
        ),
        (
            {
                "needs": {
                    "items": [
                        {"id": f"i{n}", "width": 9, "depth": 9, "height": 9} for n in range(41)
                    ]
                }
            },
            "/needs/items",
            40,
        ),
        ({"options": {"alternatives": 11}}, "/options/alternatives", 10),
        ({"options": {"time_limit_s": 301}}, "/options/time_limit_s", 300),
    ],
)
def test_limits_are_answered_with_the_limit(
    shared_server: Server, change: dict[str, Any], pointer: str, limit: int
) -> None:
    """What passes a limit is told the limit and where it was passed."""
    document = assert_problem(shared_server.post(brief(**change)), 422, "invalid_brief")
    assert document["limit"] == limit
    assert [entry["pointer"] for entry in document["errors"]] == [pointer]


def test_a_body_that_is_too_large(shared_server: Server) -> None:
    """Refused by its declared length, and by what arrives when it declares none."""
    huge = b'"' + b"a" * 1_000_001 + b'"'
    headers = {"Content-Type": "application/json"}
    declared = shared_server.client.post("/v1/studies", content=huge, headers=headers)
    streamed = shared_server.client.post(
        "/v1/studies", content=iter([huge[:600_000], huge[600_000:]]), headers=headers
    )
    for answer in (declared, streamed):
        assert assert_problem(answer, 413, "body_too_large")["limit"] == 1_000_000


def test_addresses_that_do_not_exist(shared_server: Server) -> None:
    """404 for what is not there, whatever it looks like."""
    unknown = "0" * 26
    for address, code in (
        ("/v1", "not_found"),
        ("/v1/closets", "not_found"),
        ("/v2/studies", "not_found"),
        ("/v1/studies/", "not_found"),
        (f"/v1/studies/{unknown}", "study_not_found"),
        ("/v1/studies/..%2F..%2Fetc", "not_found"),
        ("/v1/studies/%00", "study_not_found"),
        (f"/v1/studies/{unknown}/layouts/1", "study_not_found"),
        ("/v1/scenarios/nothing-like-it", "scenario_not_found"),
        ("/v1/problems/no-such-code", "not_found"),
        ("/page/../settings.py", "not_found"),
    ):
        assert_problem(shared_server.client.get(address), 404, code)


def test_methods_that_are_not_served(shared_server: Server) -> None:
    """405 with the methods that are."""
    answer = shared_server.client.put("/v1/limits", json={})
    assert_problem(answer, 405, "method_not_allowed")
    assert answer.headers["Allow"] == "GET, HEAD"
    answer = shared_server.client.patch("/v1/studies", json={})
    assert_problem(answer, 405, "method_not_allowed")
    assert answer.headers["Allow"] == "GET, HEAD, POST"


@pytest.mark.parametrize(
    ("query", "pointer"),
    [
        ("limit=0", "/query/limit"),
        ("limit=many", "/query/limit"),
        ("cursor=%21", "/query/cursor"),
        ("cursor=WzEsMl0", "/query/cursor"),
        ("state=asleep", "/query/state"),
        ("colour=red", "/query/colour"),
        ("limit=1&limit=2", "/query/limit"),
        ("created_after=yesterday", "/query/created_after"),
    ],
)
def test_parameters_that_break_rules(shared_server: Server, query: str, pointer: str) -> None:
    """422 that names the parameter."""
    answer = shared_server.client.get(f"/v1/studies?{query}")
    document = assert_problem(answer, 422, "invalid_parameter")
    assert [entry["pointer"] for entry in document["errors"]] == [pointer]


def test_every_code_is_described(shared_server: Server) -> None:
    """A problem's type leads to what it means."""
    listed = shared_server.client.get("/v1/problems").json()["items"]
    assert {entry["code"] for entry in listed} == set(KINDS)
    for entry in listed:
        answer = shared_server.client.get(f"/v1/problems/{entry['code']}")
        assert answer.json() == entry


def test_a_client_at_its_limit(narrow_server: Server) -> None:
    """429 with the limit and a time; a full queue is among the tests of load."""
    server = narrow_server
    accepted = [server.accept(brief(f"waits {n}")) for n in range(7)]
    refused = server.post(brief("one too many"))
    assert assert_problem(refused, 429, "too_many_studies")["limit"] == 7
    assert int(refused.headers["Retry-After"]) >= 1
    server.client.post(f"/v1/studies/{accepted[0]['id']}/cancellation")
    assert server.post(brief("in its place")).status_code == 202


def test_no_answer_shows_the_inside(shared_server: Server) -> None:
    """Security headers stand on every answer, errors included, and no server is named."""
    for answer in (
        shared_server.client.get("/v1/limits"),
        shared_server.client.get("/nowhere"),
        shared_server.post({}),
        shared_server.client.get("/"),
    ):
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
        assert "unsafe-eval" not in answer.headers["Content-Security-Policy"]
        assert answer.headers["Referrer-Policy"] == "no-referrer"
        assert "Server" not in answer.headers
        assert "Traceback" not in answer.text
