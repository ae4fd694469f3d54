"""Refusals: an expected 'no', with its status, what is wrong and what to do.

Refused (409)
    Missing (404)
    NotAllowed (403)
    Taken (409)           somebody else has the ticket
    Locked (409)          a safeguard stands in the way
    Stale (409)           somebody else was first
        Spent             this very form was sent before, with something else in it
    Unfit (422)           what was typed cannot be used; names the field
    Later (429)           not now; says when
        Busy (503)        too many at once
"""


class Refused(Exception):
    """The act cannot be done; `says` what is wrong and `do` the way out."""

    status = 409

    def __init__(self, says: str, do: str = "") -> None:
        self.says, self.do = says, do
        super().__init__(f"{says} {do}".strip())


class Missing(Refused):
    """There is no such thing."""

    status = 404


class NotAllowed(Refused):
    """Not this person's to do."""

    status = 403


class Taken(Refused):
    """The ticket is on somebody else's bench."""

    def __init__(self, number: int, holder: str) -> None:
        super().__init__(
            f"Ticket {number:04d} is on {holder}’s bench.", "Ask them, or take the next one."
        )


class Locked(Refused):
    """A safeguard stands in the way."""


class Stale(Refused):
    """Somebody else changed it first."""


class Spent(Stale):
    """The form's key stands for an act that was done: another one, or with another answer.

    It is never taken for a repeat: what is in the form now would be lost without a word.
    """

    def __init__(self, was: str) -> None:
        super().__init__(
            f"This form was sent before: {was}", "Look at what is there, then send it anew."
        )


class Unfit(Refused):
    """What was typed cannot be used; `field` is the form field at fault.

    `more` are further fields at fault, each with what to say.
    """

    status = 422

    def __init__(
        self, field: str, says: str, do: str = "", more: tuple[tuple[str, str], ...] = ()
    ) -> None:
        self.field, self.more = field, more
        super().__init__(says, do)


class Later(Refused):
    """Not now: `wait_s` is how many seconds to wait."""

    status = 429

    def __init__(self, says: str, wait_s: int) -> None:
        self.wait_s = wait_s
        super().__init__(says, f"Wait {_time(wait_s)}, then try again.")


class Busy(Later):
    """Too many ask for the same at once."""

    status = 503


def _time(seconds: int) -> str:
    if seconds <= 90:
        return "1 second" if seconds == 1 else f"{seconds} seconds"
    minutes = -(-seconds // 60)
    return f"{minutes} minutes" if minutes <= 90 else f"{-(-minutes // 60)} hours"
