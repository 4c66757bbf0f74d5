"""Branch and bound over what the room leaves open, around HiGHS: bounds, kernels, tree."""
