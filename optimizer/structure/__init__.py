"""Physics of boards, rods and fasteners: how far they span and what they carry."""
