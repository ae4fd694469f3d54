"""Book in's six forms: what each asks, what it refuses, and what it tells the booking."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any
from zoneinfo import ZoneInfo

from pydantic import BaseModel, Field

from server.records.people import ShopRow
from server.trade.choices import CONDITIONS, ITEMS, BatteryLook, HandedIn, Trouble, Wear
from server.web.estimate.forms import LinesForm, typed_lines

Errors = dict[str, str]
Told = dict[str, Any]

Words = Annotated[str, Field(max_length=2000)]
Short = Annotated[str, Field(max_length=120)]
Count = Annotated[int, Field(ge=0, le=99, description="how many, 0 for none")]


class WhoForm(BaseModel):
    """A customer who was here before, or a new one."""

    customer_id: int | None = None
    craft_id: int | None = None
    customer_name: Short = ""
    phone: Annotated[str, Field(max_length=40)] = ""
    email: Short = ""

    def wrong(self, _: "BookingContext") -> Errors:
        """A new customer has a name."""
        named = self.customer_id is not None or self.customer_name
        return {} if named else {"customer_name": "Write the name, or pick a customer above."}


class CraftForm(BaseModel):
    """One of the customer's crafts, or a new one."""

    craft_id: int | None = None
    craft_name: Short = ""
    mark: Short = ""

    def wrong(self, _: "BookingContext") -> Errors:
        """A new craft has a name."""
        named = self.craft_id is not None or self.craft_name
        return {} if named else {"craft_name": "Write what the craft is called, or pick one above."}


class TroubleForm(BaseModel):
    """What happened."""

    symptoms: list[Trouble] = []
    own_words: Words = ""

    def wrong(self, _: "BookingContext") -> Errors:
        """Something is the matter."""
        told = self.symptoms or self.own_words
        return {} if told else {"symptoms": "Pick what is wrong, or write it in their words."}


class ItemsForm(BaseModel):
    """What came over the counter."""

    items: dict[str, Count] = {}
    battery_look: BatteryLook = Field(description="how the batteries look")

    def wrong(self, _: "BookingContext") -> Errors:
        """Every thing is counted, and the batteries' look agrees with their count."""
        if strange := self.items.keys() - ITEMS.keys():
            return {"": f"There is no “{min(strange)}” on the list. Load the page again."}
        if HandedIn.BATTERY not in self.items:
            return {"items[battery]": "Say how many batteries were handed in; 0 if none."}
        some = self.items[HandedIn.BATTERY] > 0
        if some and self.battery_look is BatteryLook.NONE:
            return {"battery_look": "Batteries were counted: say how they look."}
        if not some and self.battery_look is not BatteryLook.NONE:
            return {"items[battery]": "Their look was told: count the batteries."}
        return {}


class ConditionForm(BaseModel):
    """How the craft looks."""

    condition: list[Wear] = []
    condition_words: Words = ""

    def wrong(self, _: "BookingContext") -> Errors:
        """The craft was looked at."""
        if Wear.NOTHING in self.condition and len(self.condition) > 1:
            return {"condition": f"Take off “{CONDITIONS[Wear.NOTHING]}”, or the rest."}
        told = self.condition or self.condition_words
        return {} if told else {"condition": f"Look, then pick; or “{CONDITIONS[Wear.NOTHING]}”."}


class PromiseForm(LinesForm):
    """When, for how much, on which terms."""

    promised_at: datetime = Field(description="when it will be ready")
    terms_agreed: bool = False
    terms_id: int | None = None
    estimate_agreed: bool = False

    def wrong(self, asked: "BookingContext") -> Errors:
        """The promise is to come, and every line has words and a price."""
        errors: Errors = {}
        if self.promised(asked.zone) <= asked.now:
            errors["promised_at"] = "That is past. Write a date and time to come."
        if asked.has_terms and not self.terms_agreed:
            errors["terms_agreed"] = "Show them the terms: nothing is taken in without their yes."
        return errors | self.wrong_lines(asked.currency)

    def promised(self, zone: str) -> datetime:
        """The moment in the shop's zone."""
        at = self.promised_at
        return at if at.tzinfo else at.replace(tzinfo=ZoneInfo(zone))


@dataclass(frozen=True)
class BookingContext:
    """What the answers are judged against."""

    now: datetime
    zone: str
    currency: str
    has_terms: bool


@dataclass(frozen=True)
class Thought:
    """One page of book in: its place, its label, its question, its form."""

    key: str
    label: str
    asks: str
    model: type[Any]
    tells: Callable[[Any, ShopRow], Told]


def _plain(form: BaseModel, _shop: ShopRow) -> Told:
    return form.model_dump(mode="json")


def _who(form: WhoForm, _shop: ShopRow) -> Told:
    """Without a craft, where none was picked: what was told of it before stays."""
    return form.model_dump(mode="json", exclude={"craft_id"} if form.craft_id is None else None)


def _promise(form: PromiseForm, shop: ShopRow) -> Told:
    return {
        "promised_at": form.promised(shop.zone).isoformat(),
        "lines": form.lines(shop.currency),
        "terms_agreed": form.terms_agreed,
        "terms_id": form.terms_id,
        "estimate_agreed": form.estimate_agreed,
    }


THOUGHTS = (
    Thought("who", "Who", "Who is it?", WhoForm, _who),
    Thought("craft", "Craft", "Which craft?", CraftForm, _plain),
    Thought("trouble", "Trouble", "What happened?", TroubleForm, _plain),
    Thought("items", "Handed in", "What was handed in?", ItemsForm, _plain),
    Thought("condition", "Condition", "How does the craft look?", ConditionForm, _plain),
    Thought("promise", "Promise", "When, and for how much?", PromiseForm, _promise),
)
BY_KEY = {thought.key: thought for thought in THOUGHTS}
PLACE = {thought.key: place for place, thought in enumerate(THOUGHTS, 1)}


def initial(key: str, answers: Mapping[str, Any], shop: ShopRow) -> Told:
    """What stands in a thought's form: what was told before."""
    if key != "promise":
        known = BY_KEY[key].model.model_fields.keys() & answers.keys()
        return {name: answers[name] for name in known}
    at = datetime.fromisoformat(answers["promised_at"]).astimezone(ZoneInfo(shop.zone))
    return typed_lines(answers.get("lines", []), shop.currency) | {
        "promised_at": f"{at:%Y-%m-%dT%H:%M}",
        "terms_agreed": answers.get("terms_agreed", False),
        "estimate_agreed": answers.get("estimate_agreed", False),
    }
