"""The interface as a page to be read: complete, of one piece, and nothing asked of elsewhere."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from html.parser import HTMLParser
from typing import Any

import pytest

from api.reference.manual import manual_page
from tests.service.harness import Server

VOID = {"meta", "br"}


class Reader(HTMLParser):
    """Reads a page strictly: every tag is closed in its turn."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.sections: dict[str, str] = {}
        self.feed(text)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note a tag."""
        self.tags.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in VOID:
            self.open.append(tag)
        if tag == "section":
            self.sections[self.tags[-1][1]["id"]] = ""

    def handle_endtag(self, tag: str) -> None:
        """Close the innermost tag, which must be this one."""
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        """Keep the text of each section."""
        if "section" in self.open:
            self.sections[list(self.sections)[-1]] += data

    def values(self, name: str) -> list[str]:
        """Every value of an attribute."""
        return [attributes[name] for _, attributes in self.tags if name in attributes]


@pytest.fixture(scope="module")
def document(shared_server: Server) -> dict[str, Any]:
    """The OpenAPI document as it is served."""
    found: dict[str, Any] = shared_server.client.get("/openapi.json").json()
    return found


@pytest.fixture(scope="module")
def page(shared_server: Server) -> Reader:
    """The page as it is served."""
    answer = shared_server.client.get("/docs")
    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "text/html; charset=utf-8"
    return Reader(answer.text)


def test_every_operation_is_on_the_page(page: Reader, document: dict[str, Any]) -> None:
    """Method, path, summary, parameters, answers and problem codes of each, in its section."""
    for path, methods in document["paths"].items():
        for method, operation in methods.items():
            text = page.sections[f"operation-{operation['operationId']}"]
            assert text.startswith(f"{method.upper()} {path}")
            assert operation["summary"] in text
            assert all(entry["name"] in text for entry in operation.get("parameters", ()))
            for status, answer in operation["responses"].items():
                assert status in text
                problems = answer.get("content", {}).get("application/problem+json", {})
                assert all(code in text for code in problems.get("examples", {}))


def test_bodies_are_shown_as_they_can_be_sent(page: Reader, document: dict[str, Any]) -> None:
    """Every example of a request stands there whole: it can be copied."""
    shown = 0
    for methods in document["paths"].values():
        for operation in methods.values():
            body = operation.get("requestBody", {}).get("content", {}).get("application/json", {})
            for example in body.get("examples", {}).values():
                text = page.sections[f"operation-{operation['operationId']}"]
                assert json.dumps(example["value"], indent=2, ensure_ascii=False) in text
                shown += 1
    assert shown >= 8


def test_every_schema_and_member_is_on_the_page(page: Reader, document: dict[str, Any]) -> None:
    """Each named schema with all of its members."""
    for name, schema in document["components"]["schemas"].items():
        text = page.sections[f"schema-{name}"]
        assert all(member in text for member in schema.get("properties", {})), name


def test_links_lead_somewhere(page: Reader) -> None:
    """Places have names of their own; every link within the page has its place."""
    places = page.values("id")
    assert len(places) == len(set(places))
    inner = {link[1:] for link in page.values("href") if link.startswith("#")}
    assert inner <= set(places)
    assert {link for link in page.values("href") if not link.startswith("#")} == {"/openapi.json"}


def test_nothing_is_asked_of_elsewhere(shared_server: Server, page: Reader) -> None:
    """No script, no file beside it, no style that loads one; the strictest policy holds."""
    answer = shared_server.client.get("/docs")
    policy = answer.headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'; style-src 'unsafe-inline'")
    assert "script-src" not in policy
    assert page.values("src") == []
    assert page.values("style") == []
    assert [name for attributes in page.tags for name in attributes[1] if name[:2] == "on"] == []
    assert {tag for tag, _ in page.tags} & {"script", "link", "img", "iframe", "form"} == set()
    style = re.search(r"<style>(.*?)</style>", answer.text, re.DOTALL)
    assert style is not None
    assert "url(" not in style[1]
    assert "@import" not in style[1]


def test_the_page_is_asked_for_again_by_its_etag(shared_server: Server) -> None:
    """304 to who has it."""
    tag = shared_server.client.get("/docs").headers["ETag"]
    again = shared_server.client.get("/docs", headers={"If-None-Match": tag})
    assert (again.status_code, again.content) == (304, b"")
    assert shared_server.client.post("/docs").status_code == 405


def test_with_keys_it_says_how_to_show_one(make_server: Callable[..., Server]) -> None:
    """The page itself is open; the 401 and the two headers are on it."""
    server = make_server(api_keys="anne=anne-0123456789abcdef", workers=0).start()
    page = Reader(server.client.get("/docs").text)
    assert "unauthorized" in page.sections["operation-create_study"]
    assert "Authorization: Bearer KEY" in server.client.get("/docs").text


def test_text_of_the_document_is_no_markup() -> None:
    """What stands in the document is shown, not obeyed."""
    evil = "<script>alert(1)</script>"
    operation = {
        "operationId": "x",
        "tags": [evil],
        "summary": evil,
        "description": evil,
        "parameters": [{"name": evil, "in": "query", "schema": {"enum": [evil]}}],
        "responses": {"200": {"description": evil}},
    }
    schemas = {"S": {"description": evil, "properties": {evil: {"default": evil}}}}
    text = manual_page(
        {
            "info": {"title": evil, "version": "1", "description": evil},
            "paths": {f"/{evil}": {"get": operation}},
            "components": {"schemas": schemas},
        }
    )
    assert "<script" not in text
    assert text.count("&lt;script&gt;") >= 9
