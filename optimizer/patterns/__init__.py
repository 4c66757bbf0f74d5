"""Bay patterns: all vertical stacks of zones that may stand over a piece of wall, enumerated.

They are made outside the model, which only chooses among them: what one bay may be is decided here,
and what bays are to each other in `model`.
"""
