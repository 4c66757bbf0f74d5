"""The OpenAPI page: complete, with examples that hold, and nothing but what the wire says."""

from __future__ import annotations

import datetime
import json
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Callable, Iterator
from importlib.resources import files
from pathlib import Path
from typing import Any, get_args, get_origin, get_type_hints

import jsonschema_rs
import pytest
from fastapi.routing import APIRoute
from hypothesis.configuration import storage_directory
from hypothesis.strategies import characters
from pydantic import BaseModel
from starlette.responses import Response

from api.app import ROUTES, create_app
from api.http.conditional import Answer
from api.reference.properties import undescribed
from api.settings import Settings
from tests.service.harness import Server, brief, eventually

ONE_BAY = brief("Examples", options={"alternatives": 1, "time_limit_s": 10})
SEED = str(datetime.date.today().toordinal())
"""Few examples, others every day; a run that fails prints its own."""
CONFIGURATION = Path(__file__).with_name("schemathesis.toml")
LONG = (
    "/v1/studies",
    "/v1/validations",
    "/v1/layout-checks",
    "/v1/studies/{study_id}/layouts/{rank}/build-pack",
)
"""Bodies with a whole brief or price book: one of them a day has its limits tried, on one day what
keeps them and on another what breaks them, up to a thousand requests that one reader of briefs or
of prices answers (`tests/briefs` has every limit in every run). All of them are sent what is drawn
by chance, every day."""


@pytest.fixture(scope="module")
def page(shared_server: Server) -> dict[str, Any]:
    """The page as it is served."""
    served: dict[str, Any] = {}

    def has_examples() -> bool:
        # On a busy machine they are a while in the making; the page does not wait for them.
        answer = shared_server.client.get("/openapi.json")
        assert answer.status_code == 200
        served.update(answer.json())
        made = served["paths"]["/v1/studies"]["post"]["responses"]["201"]
        return "example" in made["content"]["application/json"]

    eventually(has_examples, 60)
    return served


def contents(page: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    """Every JSON body of the page, requests and answers, with where it is."""
    for path, methods in page["paths"].items():
        for method, operation in methods.items():
            bodies = {"request": operation.get("requestBody", {}), **operation["responses"]}
            for name, body in bodies.items():
                for media_type, content in body.get("content", {}).items():
                    if "json" in media_type:
                        yield f"{method} {path} {name}", content


def test_the_page_is_openapi_3_1_with_named_operations(page: dict[str, Any]) -> None:
    """Version, one id for each operation, and a summary and a tag on each."""
    assert page["openapi"] == "3.1.0"
    operations = [op for methods in page["paths"].values() for op in methods.values()]
    ids = [operation["operationId"] for operation in operations]
    assert len(set(ids)) == len(ids) >= 20
    assert all(operation["summary"] and operation["tags"] for operation in operations)
    own = ("/v1/", "/healthz", "/readyz", "/metrics")
    assert all(path.startswith(own) for path in page["paths"])


def test_every_property_says_what_it_is() -> None:
    """In every schema of the page; no text is left over for what is not there."""
    schemas = create_app(Settings()).openapi()["components"]["schemas"]
    assert [f"{schema}.{name}" for schema, name, _ in undescribed(schemas)] == []
    there = {
        (schema.removesuffix("Input"), name)
        for schema, found in schemas.items()
        for name in found.get("properties", ())
    }
    texts = tomllib.loads(files("api.reference").joinpath("properties.toml").read_text("utf-8"))
    own = {name: keys for name, keys in texts.items() if name not in ("any", "Use")}
    told = {(name, key) for name, keys in own.items() for key in keys}
    assert told - there == set()


def test_endpoints_answer_with_what_they_declare() -> None:
    """Every answer in JSON is of a model, the same in the code and on the page."""
    found = [route for module in ROUTES for route in module.router.routes]
    declared = [route for route in found if isinstance(route, APIRoute)]
    assert len(declared) >= 30
    for route in declared:
        told = get_type_hints(route.endpoint)["return"]
        if route.response_model is None:
            assert told is Response, route.path
        else:
            assert get_origin(told) is Answer, route.path
            assert get_args(told) == (route.response_model,), route.path
            assert issubclass(route.response_model, BaseModel), route.path


def test_every_body_has_examples_that_fit_its_schema(page: dict[str, Any]) -> None:
    """Requests and answers alike; an example that does not fit would mislead."""
    without = []
    for place, content in contents(page):
        given = [entry["value"] for entry in content.get("examples", {}).values()]
        if "example" in content:
            given.append(content["example"])
        if not given:
            without.append(place)
        schema = {**content["schema"], "components": page["components"]}
        checker = jsonschema_rs.Draft202012Validator(schema, validate_formats=True)
        for value in given:
            errors = [f"{e.instance_path}: {e.message}" for e in checker.iter_errors(value)]
            assert errors == [], place
    assert without == []


def test_examples_of_requests_are_taken(page: dict[str, Any], real_server: Server) -> None:
    """Each example of a body, sent as it stands, is accepted."""
    study = real_server.accept(ONE_BAY, Prefer="wait=25")
    before = real_server.ids()
    sent = 0
    for path, methods in page["paths"].items():
        for operation in methods.values():
            body = operation.get("requestBody", {}).get("content", {}).get("application/json", {})
            for example in body.get("examples", {}).values():
                address = path.replace("{study_id}", study["id"]).replace("{rank}", "1")
                value = json.loads(json.dumps(example["value"]).replace('"B1"', '"A1"'))
                answer = real_server.client.post(address, json=value)
                assert answer.status_code in {200, 201, 202}, (path, answer.text)
                sent += 1
                # Taken is enough: what they come to has tests of its own.
                for made in real_server.ids() - before:
                    real_server.client.delete(f"/v1/studies/{made}")
    assert sent >= 8


def test_the_page_is_on_the_command_line_too(page: dict[str, Any]) -> None:
    """`python -m api openapi` prints what the server serves."""
    done = subprocess.run(
        [sys.executable, "-m", "api", "openapi"],
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
        cwd=Path(__file__).parent.parent.parent,
    )
    assert json.loads(done.stdout) == page


def test_the_wire_does_what_the_page_says(
    make_server: Callable[..., Server], tmp_path: Path
) -> None:
    """Generated requests over the whole page, every check on: no failure, no drift."""
    settings: dict[str, Any] = {"max_active_per_client": 1000, "max_queue": 5000}
    options = ["--phases", "coverage,fuzzing,stateful", "--max-examples", "2"]
    # Its body is that of layout checks, which thousands of requests go to; each makes a pack.
    options += ["--exclude-path", "/v1/layout-packs"]
    server = make_server(**settings).start()
    configuration = tmp_path / "schemathesis.toml"
    configuration.write_text(CONFIGURATION.read_text() + _uncovered())
    _know_characters(tmp_path)
    done = subprocess.run(
        [
            str(Path(sys.executable).with_name("st")),
            "--config-file",
            str(configuration),
            "run",
            f"{server.url}/openapi.json",
            "--checks",
            "all",
            "--seed",
            SEED,
            "--no-shrink",
            "--continue-on-failure",
            "--request-timeout",
            "30",
            "--max-response-time",
            "30",
            *options,
        ],
        capture_output=True,
        text=True,
        timeout=900,
        check=False,
        cwd=tmp_path,
    )
    assert done.returncode == 0, done.stdout[-8000:] + done.stderr[-2000:]
    assert "Unresolvable references" not in done.stdout
    failures = [entry for entry in server.log_entries() if entry["level"] == "error"]
    assert failures == []


def _know_characters(folder: Path) -> None:
    """Give the tool run in a folder the table of all characters that Hypothesis keeps here: to
    make it takes seconds, and each of the tool's threads would."""
    characters(codec="utf-8").validate()
    table = "unicode_data"
    shutil.copytree(storage_directory(table).path, folder / ".hypothesis" / table)


def _uncovered() -> str:
    """Settings that leave limits of long bodies to today's one of them, either kept or broken."""
    turn, today = divmod(int(SEED), len(LONG))
    kept = f'generation.mode = "{("positive", "negative")[turn % 2]}"'
    return "".join(
        f'\n[[operations]]\ninclude-name = "POST {path}"\n'
        + (kept if number == today else "phases.coverage.enabled = false")
        + "\n"
        for number, path in enumerate(LONG)
    )
