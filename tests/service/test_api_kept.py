"""What is said of layouts that were kept when their run could not end the study itself."""

from __future__ import annotations

from typing import Any

import pytest

from tests.service.harness import Server, brief

# The fake layouts have one bay of 21, 22, 23 in on a wall of 96 in.
EXPECTED = [[pytest.approx(abs(one - other) / 96) for other in range(3)] for one in range(3)]


def compared(server: Server, study: dict[str, Any]) -> Any:
    """The differences in the comparison of all the study's layouts."""
    answer = server.client.get(f"/v1/studies/{study['id']}/comparison")
    assert answer.status_code == 200, answer.text
    return answer.json()["differences"]


def test_a_killed_run_leaves_its_layouts_with_their_differences(shared_server: Server) -> None:
    """A run that does not heed the cancel is killed: its layouts are compared all the same."""
    study = shared_server.accept(brief("stuck differences"))
    shared_server.wait_for_layout(study["id"], 2)
    shared_server.client.post(f"/v1/studies/{study['id']}/cancellation")
    ended = shared_server.wait_for(study["id"])
    assert (ended["status"], len(ended["layouts"])) == ("cancelled", 2)
    assert ended["differences"] == [row[:2] for row in EXPECTED[:2]]
    assert compared(shared_server, ended) == ended["differences"]


def test_a_study_whose_workers_died_keeps_differences(shared_server: Server) -> None:
    """Three attempts, none of which ended: what the best one found is compared."""
    study = shared_server.accept(brief("crash differences"))
    ended = shared_server.wait_for(study["id"], timeout_s=60)
    assert (ended["status"], ended["attempts"]) == ("error", 3)
    assert ended["differences"] == [row[:2] for row in EXPECTED[:2]]


def test_layouts_so_far_are_compared_while_the_run_goes_on(shared_server: Server) -> None:
    """A study under way tells how far apart its layouts so far are, as does the comparison."""
    study = shared_server.accept(brief("slow 9 differences"))
    running = shared_server.wait_for_layout(study["id"], 2)
    assert running["state"] == "running"
    number = len(running["layouts"])
    assert running["differences"] == [row[:number] for row in EXPECTED[:number]]
    assert len(compared(shared_server, running)) >= number
    shared_server.client.post(f"/v1/studies/{study['id']}/cancellation")


def test_a_rerun_that_waits_tells_of_the_layouts_ranked_anew(shared_server: Server) -> None:
    """The instant answer, and a rerun cancelled before its run found anything, have the table."""
    earlier = shared_server.accept(brief("plain differences"), Prefer="wait=10")
    patch = {"patch": {"name": "slow 40 differences"}}
    rerun = shared_server.client.post(f"/v1/studies/{earlier['id']}/reruns", json=patch).json()
    assert [layout["status"] for layout in rerun["layouts"]] == ["rescored"] * 3
    assert rerun["differences"] == EXPECTED
    shared_server.client.post(f"/v1/studies/{rerun['id']}/cancellation")
    ended = shared_server.wait_for(rerun["id"])
    assert (ended["status"], ended["differences"]) == ("cancelled", EXPECTED)
