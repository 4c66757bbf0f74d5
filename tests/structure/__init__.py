"""Tests of the physics of boards, rods and fasteners."""
