"""What priorities do, on the wire."""

from __future__ import annotations

from pydantic import Field

from api.schemas.base import StudyId, Wire
from optimizer.explaining.preference import Preference
from optimizer.explaining.sensitivity import PriorityRange


class Sensitivity(Wire):
    """How far each priority may move alone before another layout comes first."""

    study: StudyId
    ranges: tuple[PriorityRange, ...] = Field(
        description="One for each priority; none where the study has fewer than two layouts."
    )


class StudyPreference(Preference):
    """Which priorities would make a layout the first of its study."""

    study: StudyId
