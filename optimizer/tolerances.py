"""How far lengths may differ and still count as the same: one place for all of the optimizer.

Lengths are floats in the units of the brief, and sums of them are off in their last digits. A
comparison that decides something therefore leaves a little room, always one of these.
"""

from __future__ import annotations

FINE = 1e-6
"""Noise of float sums [brief units]: what is off by no more is equal, in one calculation."""

TOUCH = 1e-3
"""Places nearer than this [brief units] are one place: lengths that were rounded, stored as
JSON and read again, or worked out in two ways."""

RULE_IN = 1e-3
"""What a layout may be off a rule and keep it [in]: the tolerance of the rules of a layout
(0.025 mm), far below what a saw can do."""
