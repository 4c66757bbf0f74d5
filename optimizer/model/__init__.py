"""The mixed-integer model of a brief: sets, variables, constraints, the search for alternatives,
and the placement of the bays that it chose.

`formulation` has the whole model on one page. It chooses how many bays of which pattern each piece
of wall gets and how wide they are in all; `placement` turns such a plan into bays at positions.
"""
