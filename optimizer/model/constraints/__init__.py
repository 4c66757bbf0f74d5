"""The constraints of the model, one module for each family; `Formulation` calls them in order."""
