"""Top boards of a level line: one part over neighbouring bays, lying on their uprights."""

from __future__ import annotations

from collections.abc import Iterator

from optimizer.domain.layout import Carried
from optimizer.domain.pack import Part
from optimizer.parts.boards import BoardPart, board_part, shelf_note
from optimizer.parts.job import Job
from optimizer.parts.uprights import uprights_on
from optimizer.structure.toplines import TopRun


def runs_over(bay_id: str, wall: str, job: Job) -> tuple[TopRun, ...]:
    """Top boards of a level line over a bay, from the left."""
    runs = job.standing.top_runs(wall)
    return tuple(run for run in runs if any(bay.id == bay_id for bay in run.bays))


def in_run(board: BoardPart, job: Job) -> bool:
    """Whether a board is part of a top board over its bay, and perhaps over others."""
    return board.is_top and bool(runs_over(board.bay.id, board.bay.wall, job))


def run_part_id(run: TopRun, job: Job) -> str:
    """Id of a top board: that of its first bay's; further pieces over one bay add a letter."""
    first = run.bays[0]
    number = len(job.standing.boards(first))
    same = [other for other in runs_over(first.id, first.wall, job) if other.bays[0] is first]
    place = same.index(run)
    return f"{first.id}-S{number}{'' if place == 0 else chr(ord('a') + place)}"


def top_board_parts(board: BoardPart, job: Job) -> Iterator[Part]:
    """The top boards that start over a bay."""
    for run in runs_over(board.bay.id, board.bay.wall, job):
        if run.bays[0].id == board.bay.id:
            yield _top_board(run, board, job)


def _top_board(run: TopRun, board: BoardPart, job: Job) -> Part:
    """A top board over several bays as a part to cut."""
    start, end = run.start + _slack(run, job, left=True), run.end - _slack(run, job, left=False)
    length = job.cut(end - start)
    return board_part(
        board,
        job,
        part_id=run_part_id(run, job),
        start=start + (end - start - length) / 2.0,
        length=length,
        bays=tuple(bay.id for bay in run.bays),
        note="; ".join(note for note in (shelf_note(board, job), _note(run, job)) if note),
    )


def _slack(run: TopRun, job: Job, *, left: bool) -> float:
    """How much shorter a top board is at an end that meets a wall, a board or an upright."""
    half = job.construction.shelf_clearance / 2.0
    bay = run.bays[0] if left else run.bays[-1]
    # Boards of one line meet tight; air is for what is pushed in between walls.
    if run.joint_left if left else run.joint_right:
        return 0.0
    if (bay.left if left else bay.right) is not Carried.UPRIGHT:
        return half
    if not (run.rests_left if left else run.rests_right):
        return half
    # Flush with the outer face of an upright: shorter only where that stands at a wall.
    wall = job.walls[run.bays[0].wall].clear_length
    gap = run.start if left else wall - run.end
    return half if gap < half else 0.0


def _note(run: TopRun, job: Job) -> str:
    """What a top board lies on, and where it is joined."""
    under = [
        upright.id
        for upright in uprights_on(run.bays[0].wall, job)
        if run.start < upright.start + job.panel - job.tolerance
        and upright.start + job.tolerance < run.end
    ]
    notes = [f"lies on {', '.join(under)}"] if under else []
    for joint, at in ((run.joint_left, run.start), (run.joint_right, run.end)):
        if joint:
            notes.append(f"joint {job.short(at)} from the left end of the wall")
    return "; ".join(notes)
