"""The survey sheet over the wire: blank for anyone, filled in for a study's owner."""

from __future__ import annotations

import io

import pypdf

from tests.service.harness import Server, brief


def words_of(content: bytes) -> str:
    """Text of a PDF without spaces."""
    pages = pypdf.PdfReader(io.BytesIO(content)).pages
    return "".join("".join(page.extract_text().split()) for page in pages)


def test_a_blank_sheet_is_a_plain_link(shared_server: Server) -> None:
    """Letter or A4, so many walls; what is no number of walls is refused by name."""
    answer = shared_server.client.get("/v1/survey.pdf", params={"units": "mm", "walls": 7})
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/pdf"
    assert "wholemillimetres" in words_of(answer.content)
    again = {"If-None-Match": answer.headers["etag"]}
    same = shared_server.client.get(
        "/v1/survey.pdf", params={"units": "mm", "walls": 7}, headers=again
    )
    assert same.status_code == 304
    refused = shared_server.client.get("/v1/survey.pdf", params={"walls": 0})
    assert refused.status_code in {400, 422}
    assert "walls" in refused.text


def test_a_study_has_the_sheet_of_its_room(shared_server: Server) -> None:
    """Its walls' readings stand in it."""
    made = shared_server.client.post("/v1/studies", json=brief("Surveyed"))
    assert made.status_code in {200, 201, 202}
    study = made.json()
    answer = shared_server.client.get(f"/v1/studies/{study['id']}/survey.pdf")
    assert answer.status_code == 200
    assert "Project:Surveyed" in words_of(answer.content)
    missing = shared_server.client.get("/v1/studies/06d3v8q2k5y7n9b1c4f6g8h0jm/survey.pdf")
    assert missing.status_code == 404
