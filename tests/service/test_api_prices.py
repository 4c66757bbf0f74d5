"""Build packs reckoned with prices of the caller's own, over real HTTP."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import httpx
import pypdf
import pytest

from optimizer.reference.prices import PriceBook, invented_prices
from tests.service.harness import Server, brief

CLOSET = brief("Priced closet", options={"alternatives": 1, "time_limit_s": 10})


@pytest.fixture(scope="module")
def here(real_server: Server) -> str:
    """Address of the build pack of a real layout."""
    study = real_server.accept(CLOSET, Prefer="wait=25")
    assert study["layouts"], study
    return f"/v1/studies/{study['id']}/layouts/1/build-pack"


@pytest.fixture
def book(real_server: Server) -> dict[str, Any]:
    """The program's price book as a client takes it."""
    answer = real_server.client.get("/v1/price-book")
    assert answer.status_code == 200
    found: dict[str, Any] = answer.json()
    return found


def made(server: Server, here: str, asked: Any) -> httpx.Response:
    """A pack made with prices, which must be."""
    answer = server.client.post(here, json=asked)
    assert answer.status_code == 201, answer.text
    return answer


def text_of(document: bytes) -> str:
    """The text of a PDF."""
    return "".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(document)).pages)


def test_the_price_book_to_start_from_is_the_programs(book: dict[str, Any]) -> None:
    """It reads back as the program's own record."""
    assert PriceBook.model_validate(book) == invented_prices()


def test_own_prices_make_another_quote_for_the_same_parts(
    real_server: Server, here: str, book: dict[str, Any]
) -> None:
    """Sheets at twice the price: the parts stay, the shopping list says twice as much for them."""
    plain = real_server.client.get(here).json()
    dear = {**book, "sheet": [{**line, "price": 2 * line["price"]} for line in book["sheet"]]}
    dear["about"] = {"note": "Prices of my shop", "currency": "EUR"}
    answer = made(real_server, here, {"prices": dear}).json()
    assert answer["pack"]["parts"] == plain["pack"]["parts"]
    prices = [sheet["stock"]["price"] for sheet in plain["sheets"]["sheets"]]
    assert [sheet["stock"]["price"] for sheet in answer["sheets"]["sheets"]] == [
        pytest.approx(2 * price) for price in prices
    ]
    lines = zip(plain["pack"]["shopping"], answer["pack"]["shopping"], strict=True)
    ratios = {
        round(after["amount"] / before["amount"], 2) for before, after in lines if before["amount"]
    }
    assert ratios == {1.0, 2.0}
    assert (plain["pack"]["quote"]["currency"], plain["pricing"]) == ("", None)
    assert answer["pack"]["quote"]["currency"] == "EUR"
    assert answer["pack"]["quote"]["materials"] > plain["pack"]["quote"]["materials"]


def test_rates_and_date_of_the_quote(real_server: Server, here: str) -> None:
    """Rates alone change the quote by the arithmetic they stand for; the date is printed."""
    rates = {"labour_rate": 60, "margin": 0.5, "tax": 0.1}
    answer = made(real_server, here, {"quote": rates, "date": "2026-03-14"})
    quote = answer.json()["pack"]["quote"]
    assert (quote["labour_rate"], quote["margin_rate"], quote["tax_rate"]) == (60, 0.5, 0.1)
    net = (quote["materials"] + quote["labour"]) * 1.5
    assert quote["labour"] == pytest.approx(60 * quote["hours"], abs=0.01)
    assert quote["total"] == pytest.approx(net * 1.1, abs=0.05)
    pricing = answer.json()["pricing"]
    document = real_server.client.get(f"{here}.pdf?pricing={pricing}")
    assert "2026-03-14" in text_of(document.content)
    assert "2026-03-14" not in text_of(real_server.client.get(f"{here}.pdf").content)


def test_a_priced_pack_is_found_again_in_every_form(real_server: Server, here: str) -> None:
    """Location and every address in the pack lead to the pack with these prices."""
    asked = {"quote": {"labour_rate": 77.25}}
    answer = made(real_server, here, asked)
    again = real_server.client.get(answer.headers["Location"])
    assert again.content == answer.content
    assert again.headers["ETag"] == answer.headers["ETag"]
    repeated = made(real_server, here, asked)
    assert (repeated.headers["Location"], repeated.content) == (
        answer.headers["Location"],
        answer.content,
    )
    pack = answer.json()
    hrefs = [entry["href"] for entry in pack["files"]]
    hrefs += [pack["archive"], *(drawing["dxf"] for drawing in pack["drawings"])]
    for href in hrefs:
        assert href.endswith(f"?pricing={pack['pricing']}")
        assert real_server.client.get(href).status_code == 200
    for ending in ("csv", "pdf", "zip"):
        answer = real_server.client.get(f"{here}.{ending}?pricing={pack['pricing']}")
        assert answer.status_code == 200
    assert "77.25" in text_of(
        real_server.client.get(f"{here}.pdf?pricing={pack['pricing']}").content
    )


def without(book: dict[str, Any], name: str) -> dict[str, Any]:
    """The book less one of its parts."""
    return {key: value for key, value in book.items() if key != name}


@pytest.mark.parametrize(
    ("change", "pointer"),
    [
        (lambda book: {"prices": without(book, "minutes")}, "/prices/minutes"),
        (lambda book: {"prices": {**book, "colour": 1}}, "/prices/colour"),
        (
            lambda book: {"prices": {**book, "sheet": [{**book["sheet"][0], "price": -1}]}},
            "/prices/sheet/0/price",
        ),
        (
            lambda book: {"prices": {**book, "sheet": [{**book["sheet"][0], "thickness": "thin"}]}},
            "/prices/sheet/0/thickness",
        ),
        (
            lambda book: {"prices": {**book, "sheet": [{**book["sheet"][0], "per": "sheet"}]}},
            "/prices/sheet/0",
        ),
        (lambda book: {"prices": {**book, "piece": [book["piece"][0]] * 2}}, "/prices"),
        (lambda book: {"prices": "cheap"}, "/prices"),
        (lambda book: {"quote": {"margin": "a lot"}}, "/quote/margin"),
        (lambda book: {"quote": {"discount": 1}}, "/quote/discount"),
        (lambda book: {"date": "2026-02-30"}, "/date"),
        (lambda book: {"date": 20260214}, "/date"),
        (lambda book: {"price": book}, "/price"),
        (lambda book: [], ""),
    ],
)
def test_prices_that_break_rules(
    real_server: Server,
    here: str,
    book: dict[str, Any],
    change: Callable[[dict[str, Any]], Any],
    pointer: str,
) -> None:
    """422 with a pointer to each fault; nothing is kept."""
    answer = real_server.client.post(here, json=change(book))
    assert (answer.status_code, answer.json()["code"]) == (422, "invalid_body"), answer.text
    assert pointer in [entry["pointer"] for entry in answer.json()["errors"]]


def test_a_book_without_the_price_of_a_part(
    real_server: Server, here: str, book: dict[str, Any]
) -> None:
    """A sound book that has no line for the closet's material: said, naming the part."""
    asked = {"prices": {**book, "sheet": [line for line in book["sheet"] if line["price"] > 3]}}
    answer = real_server.client.post(here, json=asked)
    assert (answer.status_code, answer.json()["code"]) == (422, "cannot_build")
    assert "the price book has no sheet of mdf" in answer.json()["detail"]


@pytest.mark.parametrize(
    ("pricing", "status", "code"),
    [("0" * 32, 404, "pricing_not_found"), ("x", 422, "invalid_parameter")],
)
def test_prices_that_were_never_sent(
    real_server: Server, here: str, pricing: str, status: int, code: str
) -> None:
    """Unknown prices are not found, in any form of the pack."""
    for ending in ("", ".pdf", ".csv", ".zip", "/files/cut-list.csv"):
        answer = real_server.client.get(f"{here}{ending}?pricing={pricing}")
        assert (answer.status_code, answer.json()["code"]) == (status, code)


def test_price_books_of_a_study_are_limited(real_server: Server) -> None:
    """The one too many is refused with the limit; those sent before still serve."""
    server = real_server
    study = server.accept({**CLOSET, "name": "Priced often"}, Prefer="wait=25")
    here = f"/v1/studies/{study['id']}/layouts/1/build-pack"
    taxes = (0.1, 0.2, 0.3)
    packs = [made(server, here, {"quote": {"tax": tax}}).json() for tax in taxes]
    refused = server.client.post(here, json={"quote": {"tax": 0.5}})
    assert (refused.status_code, refused.json()["code"]) == (409, "too_many_pricings")
    assert refused.json()["limit"] == 3
    assert server.client.get("/v1/limits").json()["max_pricings"] == 3
    assert made(server, here, {"quote": {"tax": 0.1}}).json() == packs[0]
