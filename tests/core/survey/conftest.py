"""Small walls for the survey's tests."""

from collections.abc import Callable
from typing import Any

import pytest

from giornata.core import survey


@pytest.fixture
def made_wall() -> Callable[..., survey.WallSurvey]:
    """A level wall of one bay, 20 m by 3 m, with whatever else is asked for."""

    def make(**changes: Any) -> survey.WallSurvey:
        plain: dict[str, Any] = {
            "datum": "left end, foot",
            "bays": (survey.Bay(name="1", length=20.0),),
            "overall": 20.0,
            "top": (survey.Level(at=0.0, level=3.0), survey.Level(at=20.0, level=3.0)),
            "ground": (survey.Level(at=0.0, level=0.0), survey.Level(at=20.0, level=0.0)),
        }
        return survey.WallSurvey(**(plain | changes))

    return make
