"""The independent checker: re-verifies any layout, ours or not, from the brief alone.

It shares no code with what proposes layouts, so that a mistake made there is not made here again.
Each rule (R1 to R20, numbered as in DEVELOPERS.md) is a function `check_...(case)` that yields one
`Fault` for every place where the layout breaks it: a JSON Pointer into the layout, a sentence with
the lengths concerned, and a code. Lengths are in the units of the brief.
"""

from optimizer.checking.layouts import check_layout, passes, require_checked
from optimizer.checking.studies import check_study

__all__ = ["check_layout", "check_study", "passes", "require_checked"]
