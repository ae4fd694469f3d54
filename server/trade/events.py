"""Every kind of line in a ticket's history, and its sentence."""

from enum import StrEnum


class Event(StrEnum):
    """Something that happened to a ticket."""

    BOOKED_IN = "booked in"
    ESTIMATE = "estimate"
    AGREED = "agreed"
    PAID = "paid"
    TAKEN = "taken"
    PUT_BACK = "put back"
    HELD = "held"
    HOLD_ENDED = "hold ended"
    PASSED_ON = "passed on"
    MAP_SAVED = "map saved"
    POWER = "power"
    UNPLUGGED = "unplugged"
    PROPS = "props"
    POWER_REFUSED = "power refused"
    LAPSED = "lapsed"
    FAULT = "fault"
    CAUTION_ACCEPTED = "caution accepted"
    SIGNED = "signed"
    TOLD = "told"
    PAGE_WITHDRAWN = "page withdrawn"
    PAGE_RENEWED = "page renewed"
    COLLECTED = "collected"
    RETURNED = "returned"
    CANCELLED = "cancelled"
    ERASED = "erased"


# `by` is the name of who did it; the act gives the rest.
SENTENCES: dict[Event, str] = {
    Event.BOOKED_IN: "Booked in by {by}.",
    Event.ESTIMATE: "Estimate now {now}, before {before}.",
    Event.AGREED: "The estimate was agreed to {how}, up to {up_to}.",
    Event.PAID: "{kind} taken by {by}.",
    Event.TAKEN: "Taken by {by}.",
    Event.PUT_BACK: "Put back by {by}.",
    Event.HELD: "On hold: {reason}.",
    Event.HOLD_ENDED: "Hold ended by {by}.",
    Event.PASSED_ON: "{by} passed it on to {to}.",
    Event.MAP_SAVED: "Map revision {revision} saved by {by}.",
    Event.POWER: "From {before} to {to}. {why}",
    Event.UNPLUGGED: "Unplugged.",
    Event.PROPS: "{count} propellers on the craft, seen by {by}.",
    Event.POWER_REFUSED: "{to} refused; {seen}, {by}.",
    Event.LAPSED: "Not known any more what is connected; it was {was}. {why}",
    Event.FAULT: "{says}",
    Event.CAUTION_ACCEPTED: "Caution accepted by {by}: {caution} Reason: {reason}",
    Event.SIGNED: "Log {log} signed by {by}.",
    Event.TOLD: "The customer was told by {by}: {what}.",
    Event.PAGE_WITHDRAWN: "The customer’s page was withdrawn by {by}.",
    Event.PAGE_RENEWED: "The customer’s page was given a new address by {by}.",
    Event.COLLECTED: "Handed over to {to} by {by}.",
    Event.RETURNED: "Returned unrepaired to {to} by {by}: {reason}",
    Event.CANCELLED: "Cancelled by {by}: {reason}",
    Event.ERASED: "The customer’s personal data was erased.",
}

# On and off a bench: what the time that a job takes is worked out from.
BENCH_MOVES = (
    Event.TAKEN,
    Event.PASSED_ON,
    Event.PUT_BACK,
    Event.HELD,
    Event.HOLD_ENDED,
    Event.SIGNED,
)


def sentence(event: Event, **told: object) -> str:
    """The line in the history. Raises KeyError where a word is missing."""
    return SENTENCES[event].format(**told)
