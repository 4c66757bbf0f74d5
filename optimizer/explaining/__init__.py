"""Why a need is not met, what it would cost to meet it, and which single change helps."""
