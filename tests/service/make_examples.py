"""Make `api/examples.json`: what a real server answers, for the OpenAPI page.

Run `python -m tests.service.make_examples` after a change of the wire form.
"""

from __future__ import annotations

import json
import tempfile
from pathlib import Path
from typing import Any

from tests.service.harness import Server

TARGET = Path(__file__).resolve().parent.parent.parent / "api" / "examples.json"

BRIEF: dict[str, Any] = {
    "name": "Linen closet",
    "room": {
        "ceiling_height": 96,
        "walls": [{"id": "A", "length": 20}, {"id": "B", "length": 36}, {"id": "C", "length": 20}],
    },
    "needs": {"shelf_length": 150, "shelf_depth": 16},
    "options": {"alternatives": 2, "time_limit_s": 10},
}


def walk(server: Server) -> dict[str, Any]:
    """An answer of each operation, by operation id."""
    get = lambda path: server.client.get(path).json()  # noqa: E731 - a name for a line
    made = server.accept(BRIEF, Prefer="wait=30")
    here = f"/v1/studies/{made['id']}"
    body = {"patch": {"priorities": {"shelving": 1, "low_cost": 5}}}
    rerun = server.client.post(f"{here}/reruns", json=body)
    again = server.wait_for(rerun.json()["id"])
    first = made["layouts"][0]
    check = {"brief": BRIEF, "layout": {"bays": first["bays"]}}
    return {
        "create_study": made,
        "get_study": made,
        "cancel_study": made,
        "create_rerun": again,
        "list_studies": {**get("/v1/studies?limit=2"), "next": "/v1/studies?limit=2&cursor=WzE3"},
        "list_layouts": {**get(f"{here}/layouts"), "layouts": [first]},
        "get_layout": first,
        "compare_layouts": get(f"{here}/comparison?layouts=1,2"),
        "get_sensitivity": get(f"{here}/sensitivity"),
        "get_preference": get(f"{here}/preference?layout=2"),
        "get_lineage": get(f"/v1/studies/{again['id']}/lineage"),
        "list_drawings": get(f"{here}/layouts/1/drawings"),
        "get_price_book": get("/v1/price-book"),
        "get_build_pack": get(f"{here}/layouts/1/build-pack"),
        "validate_brief": server.client.post("/v1/validations", json=BRIEF).json(),
        "check_layout": server.client.post("/v1/layout-checks", json=check).json(),
        "list_scenarios": {"items": get("/v1/scenarios")["items"][:1]},
        "get_scenario": get("/v1/scenarios/linen-closet"),
        "get_limits": get("/v1/limits"),
        "list_problems": {"items": get("/v1/problems")["items"][:3]},
        "get_problem": get("/v1/problems/queue_full"),
        "get_health": get("/healthz"),
        "get_readiness": get("/readyz"),
    }


def main() -> None:
    """Walk a server and write what it answers."""
    with tempfile.TemporaryDirectory() as folder:
        server = Server(Path(folder), runner="api.worker.running:OptimizerRunner", workers=1)
        try:
            examples = walk(server.start())
        finally:
            server.close()
    TARGET.write_text(json.dumps(examples, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
