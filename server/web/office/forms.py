"""What the office's forms ask."""

from typing import Annotated, Any, Literal

from pydantic import BaseModel, Field

from server.records.tables.people import LABELS, PAPERS, SECOND_EYES
from server.trade.bill import ROUNDINGS
from server.trade.roles import Role
from server.web.site.forms import Number

_MINUTES, _DAYS = "how many minutes", "how many days"
Weekday = Literal["1", "2", "3", "4", "5", "6", "7"]
Hour = Annotated[
    str,
    Field(
        pattern="^([01][0-9]|2[0-3]):[0-5][0-9]$",
        description="the time",
        json_schema_extra={"wrong": "Write a time, such as 09:00."},
    ),
]


class StaffForm(BaseModel):
    """Somebody new."""

    name: Annotated[str, Field(description="their name", max_length=80)]
    initials: Annotated[str, Field(description="their initials", max_length=4)]
    sign_in: Annotated[str, Field(description="a name to sign in with", max_length=60)]
    role: Annotated[Role, Field(description="what they do here")]


class KeyForm(BaseModel):
    """The signing passphrase, twice: it is never seen, and never given back."""

    phrase: Annotated[str, Field(description="the signing passphrase", max_length=300)]
    again: Annotated[str, Field(description="the signing passphrase once more", max_length=300)]


class NewPhraseForm(BaseModel):
    """The same key under another passphrase; none of the three is given back."""

    phrase: Annotated[str, Field(description="the passphrase as it is now", max_length=300)]
    new_phrase: Annotated[str, Field(description="the new passphrase", max_length=300)]
    again: Annotated[str, Field(description="the new passphrase once more", max_length=300)]


class ShopForm(BaseModel):
    """The shop's settings as they are typed; tax in per cent."""

    name: Annotated[str, Field(description="the shop’s name", max_length=80)]
    address: Annotated[str, Field(max_length=300)] = ""
    phone: Annotated[str, Field(max_length=40)] = ""
    country: Annotated[
        str,
        Field(
            pattern="^[A-Z]{2}$",
            description="the country",
            json_schema_extra={"wrong": "Write two capital letters, such as GB."},
        ),
    ]
    zone: Annotated[str, Field(description="the time zone")]
    currency: Annotated[
        str,
        Field(
            pattern="^[A-Z]{3}$",
            description="the currency",
            json_schema_extra={"wrong": "Write three capital letters, such as EUR."},
        ),
    ]
    tax: Annotated[Number, Field(ge=0, le=100, decimal_places=2, description="the tax, 0 for none")]
    rounding: Annotated[Literal["half-up", "half-even"], Field(description="the rounding")]
    terms: Annotated[str, Field(max_length=4000)] = ""
    paper: Annotated[Literal["a4", "us-letter"], Field(description="the paper")]
    props_minutes: Annotated[int, Field(ge=1, le=240, description=_MINUTES)]
    power_minutes: Annotated[int, Field(ge=1, le=600, description=_MINUTES)]
    label: Annotated[Literal["62mm", "57x32mm"], Field(description="the label")]
    open_days: Annotated[list[Weekday], Field(min_length=1, description="the opening days")]
    opens_at: Hour
    closes_at: Hour
    held_days: Annotated[int, Field(ge=1, le=365, description=_DAYS)]
    ready_days: Annotated[int, Field(ge=1, le=365, description=_DAYS)]
    second_eyes: Annotated[Literal["none", "motors", "log"], Field(description="who may sign")] = (
        "none"
    )

    def changes(self) -> dict[str, Any]:
        """The settings as they are kept: tax in hundredths of a per cent, days as '12345'."""
        told = self.model_dump()
        days = "".join(sorted(set(told.pop("open_days"))))
        return told | {"tax_bp": int(told.pop("tax") * 100), "open_days": days}


EYES_NAMES = tuple(
    zip(
        SECOND_EYES,
        (
            "Whoever did the work may sign",
            "Whoever did the motors does not sign",
            "Whoever recorded any step does not sign",
        ),
        strict=True,
    )
)
ROUNDING_NAMES = tuple(zip(ROUNDINGS, ("Up, away from zero", "To the even neighbour"), strict=True))
PAPER_NAMES = tuple(zip(PAPERS, ("A4", "US letter"), strict=True))
LABEL_NAMES = tuple(zip(LABELS, ("62 mm roll", "57 × 32 mm"), strict=True))
DAY_NAMES = tuple(zip("1234567", ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"), strict=True))
