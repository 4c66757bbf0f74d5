"""The constraints of the model, one file for each family."""
