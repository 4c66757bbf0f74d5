"""The wire form of requests and answers; the words of the trade come from the optimizer."""
