"""The room in plan: where walls stand and what of them may carry storage."""
