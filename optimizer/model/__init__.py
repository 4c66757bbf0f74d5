"""The mixed-integer model: sets, variables, constraints, alternatives and placing."""
