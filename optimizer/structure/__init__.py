"""Physics of boards, rods, uprights and fasteners: how far they span and what they carry.

Two questions are asked here. Before a layout is made: how wide may a bay be (`spans`)? Of a
finished layout: what share of its strength does each part use (`assessment.assess`)? Both go down
to the same formulas: `beams` and `plates` for boards, `uprights` for buckling, `fasteners` for
screws and nails, `cleats` and `joints` for what holds boards and rods. Formulas work in inches,
pounds and psi; what other packages call takes and gives lengths in the units of the brief.
"""
