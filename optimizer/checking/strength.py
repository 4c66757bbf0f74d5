"""R12 Strength: every share of a limit that `structure.assessment` works out is at most 1."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from optimizer.checking.case import Case
from optimizer.domain.layout import ZoneKind
from optimizer.errors import Fault
from optimizer.structure.assessment import assess, worst_of
from optimizer.structure.strain import Strain

CLAIMED = 1e-6
"""What float noise may amount to in a claimed share."""

SPANS = frozenset({"board", "rod"})
"""What spans from support to support, and is mended by another support or a narrower bay."""


def check_strength(case: Case) -> Iterator[Fault]:
    """Findings on what does not hold, on what cannot be worked out, and on what is claimed."""
    strains = assess(case.brief, case.layout)
    for strain in strains:
        if not strain.passes:
            # Two codes, since another support mends one and does nothing for the other.
            code = "span" if strain.kind in SPANS else "strength"
            yield Fault(f"/bays/{strain.index}", _sentence(case, strain), code)
    yield from _unknown(case, strains)
    yield from _stiffened(case)
    yield from _claimed(case, strains)


def _sentence(case: Case, strain: Strain) -> str:
    """What is too much, against its limit."""
    if strain.unit == case.units.value:
        demand, limit = case.say(strain.demand), case.say(strain.limit)
    else:
        unit = "" if strain.unit == "1" else f" {strain.unit}"
        demand, limit = f"{strain.demand:.3g}{unit}", f"{strain.limit:.3g}{unit}"
    share = f"{strain.share:.3g} times the limit"
    return f"{strain.name}: {strain.check} {demand}, and {limit} is the limit ({share})"


def _unknown(case: Case, strains: Sequence[Strain]) -> Iterator[Fault]:
    """Bays of whose boards or rods nothing could be worked out: stock or load next to nothing."""
    # A board or rod without a strain is one that `assess` could not work out.
    known = Counter((strain.bays[0], strain.kind) for strain in strains)
    for placed in case.bays:
        bay, boards = placed.bay, list(placed.boards())
        if any(depth <= case.tolerance for _, depth in boards):
            continue  # no board at all, which is found elsewhere
        rods = sum(1 for z in bay.zones if z.kind is ZoneKind.ROD and z.rod_height is not None)
        if known[bay.id, "board"] < len(boards) or known[bay.id, "rod"] < rods:
            detail = f"what the boards and rods of bay {bay.id} hold cannot be worked out"
            yield Fault(placed.pointer, detail, "strength")


def _stiffened(case: Case) -> Iterator[Fault]:
    """Stiffeners where the brief allows none."""
    for index, bay in enumerate(case.layout.bays):
        if bay.stiffened and not case.brief.construction.stiffener_allowed:
            detail = f"bay {bay.id} has stiffened boards, which the brief does not allow"
            yield Fault(f"/bays/{index}/stiffened", detail, "stiffener")


def _claimed(case: Case, strains: Sequence[Strain]) -> Iterator[Fault]:
    """R11: the largest share that is told of is the largest there is."""
    told, most = case.layout.structure, worst_of(strains)
    if told is None:
        return
    share = 0.0 if most is None else most.share
    if abs(told.share - share) > CLAIMED * max(1.0, share):
        yield Fault(
            "/structure/share",
            f"the largest share of a limit of strength is said to be {told.share:g}; it is "
            f"{share:g}" + ("" if most is None else f" ({most.of})"),
            "structure",
        )
