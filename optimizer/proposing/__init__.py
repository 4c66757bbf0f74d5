"""Wiring: from a brief to a study, and from an earlier study to the next."""

from optimizer.proposing.reruns import rerun, rescore
from optimizer.proposing.run import propose

__all__ = ["propose", "rerun", "rescore"]
