"""What every form of the bench carries unseen, and the words that its forms share."""

from datetime import UTC, datetime
from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

# Fields of one name by what stands in their brackets: 'low[roll]'.
Texts = Annotated[dict[str, str], Field(default_factory=dict)]


class Carried(BaseModel):
    """Hidden in every form: the target it was made for, the newest entry that the page knew, the
    power it was made under, and, where a tablet kept it, when: ms by the server's clock."""

    model_config = ConfigDict(arbitrary_types_allowed=True)

    basis: str = ""
    seen: int = 0
    under: str = ""
    made_at: str = ""


CARRIED = tuple(Carried.model_fields)


def moment(sent: str) -> datetime | None:
    """The time that a tablet gives an act; None where it gives none that can be read."""
    if not sent.isdecimal() or len(sent) > 14:  # the year 5138 has 14 digits
        return None
    return datetime.fromtimestamp(int(sent) / 1000, UTC)
