"""One interface over the solvers HiGHS and CBC; the only code that knows which PuLP is installed.

Callers use `choice.solve` and the other functions there; they get an `outcome.Outcome` from either
solver. `problem` hides what differs between PuLP 3.3 and 4, `highs` and `cbc` run the solvers.
"""
