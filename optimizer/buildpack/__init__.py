"""From a layout to the saw, the wall and the store: parts, cut list, checks, mark-out, cost.

Reads a brief and a layout only, so that a layout drawn or edited by hand builds as well.
"""
