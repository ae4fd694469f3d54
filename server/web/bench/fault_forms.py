"""The fault finder's forms."""

from typing import Annotated

from pydantic import BaseModel, Field

from server.web.bench.hidden_fields import Carried
from server.work.bench.faults import MOST_WORDS


class SymptomsForm(BaseModel):
    """What is wrong with the craft."""

    symptoms: Annotated[list[str], Field(description="what is wrong")] = []


class AnswerForm(Carried):
    """What a check showed."""

    check: str
    outcome: Annotated[str, Field(description="what you saw")]


class CauseForm(BaseModel):
    """The cause that was found, and the check that showed it."""

    cause: str
    check: str = ""
    words: Annotated[str, Field(max_length=MOST_WORDS, description="what it was")] = ""
