"""The pieces that a layout is made of: what each is, how big on the saw, where it stands.

Reads a brief and a layout only, so that a layout drawn or edited by hand builds as well.
"""
