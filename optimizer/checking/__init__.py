"""The independent checker: re-verifies any layout, ours or not, from the brief alone.

It shares no code with what proposes layouts. Rule numbers are those of DEVELOPERS.md.
"""

from optimizer.checking.layouts import check_layout, require_checked
from optimizer.checking.studies import check_study

__all__ = ["check_layout", "check_study", "require_checked"]
