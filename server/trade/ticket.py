"""A ticket's states, and the acts that move it from one to another.

The acts, the pages' buttons, the queries, the guide and the tests all read these tables; the
database holds to `State` as well.
"""

from enum import StrEnum


class State(StrEnum):
    """How far a visit of a craft is."""

    WAITING = "waiting"
    BENCH = "bench"
    ON_HOLD = "on-hold"
    TO_SIGN = "to-sign"
    READY = "ready"
    COLLECTED = "collected"
    RETURNED = "returned"
    CANCELLED = "cancelled"


class TicketAct(StrEnum):
    """What moves a ticket. `COMPLETE` and `REOPEN` come from the card, not from a button."""

    TAKE = "take"
    PUT_BACK = "put back"
    HOLD = "hold"
    END_HOLD = "end hold"
    PASS_ON = "pass on"
    COMPLETE = "complete"
    REOPEN = "reopen"
    SIGN = "sign"
    COLLECT = "collect"
    RETURN = "return"
    CANCEL = "cancel"


STATE_WORDS: dict[State, str] = {
    State.WAITING: "waiting",
    State.BENCH: "on the bench",
    State.ON_HOLD: "on hold",
    State.TO_SIGN: "to sign",
    State.READY: "ready",
    State.COLLECTED: "collected",
    State.RETURNED: "returned unrepaired",
    State.CANCELLED: "cancelled",
}

# What somebody can do, and what a ticket cannot be: 'take it', 'cannot be taken'.
ACT_WORDS: dict[TicketAct, tuple[str, str]] = {
    TicketAct.TAKE: ("take it", "taken"),
    TicketAct.PUT_BACK: ("put it back", "put back"),
    TicketAct.HOLD: ("put it on hold", "put on hold"),
    TicketAct.END_HOLD: ("end the hold", "taken off hold"),
    TicketAct.PASS_ON: ("pass it on", "passed on"),
    TicketAct.COMPLETE: ("finish its card", "finished"),
    TicketAct.REOPEN: ("do a step again", "worked on"),
    TicketAct.SIGN: ("sign it", "signed"),
    TicketAct.COLLECT: ("hand it over", "handed over"),
    TicketAct.RETURN: ("return it unrepaired", "returned unrepaired"),
    TicketAct.CANCEL: ("cancel it", "cancelled"),
}

MOVES: dict[TicketAct, dict[State, State]] = {
    # Taking one's own again moves it to another bench; the card then says whether it is to sign.
    TicketAct.TAKE: {
        State.WAITING: State.BENCH,
        State.BENCH: State.BENCH,
        State.TO_SIGN: State.BENCH,
    },
    # A ticket on hold that is put back stays on hold, on nobody's bench.
    TicketAct.PUT_BACK: {
        State.BENCH: State.WAITING,
        State.TO_SIGN: State.WAITING,
        State.ON_HOLD: State.ON_HOLD,
    },
    TicketAct.HOLD: {
        State.WAITING: State.ON_HOLD,
        State.BENCH: State.ON_HOLD,
        State.TO_SIGN: State.ON_HOLD,
    },
    # Where somebody has it, `TAKE` follows at once.
    TicketAct.END_HOLD: {State.ON_HOLD: State.WAITING},
    TicketAct.PASS_ON: {
        State.WAITING: State.BENCH,
        State.BENCH: State.BENCH,
        State.TO_SIGN: State.TO_SIGN,
        State.ON_HOLD: State.ON_HOLD,
    },
    TicketAct.COMPLETE: {State.BENCH: State.TO_SIGN, State.TO_SIGN: State.TO_SIGN},
    TicketAct.REOPEN: {State.BENCH: State.BENCH, State.TO_SIGN: State.BENCH},
    TicketAct.SIGN: {State.TO_SIGN: State.READY},
    TicketAct.COLLECT: {State.READY: State.COLLECTED},
    TicketAct.RETURN: {
        State.WAITING: State.RETURNED,
        State.BENCH: State.RETURNED,
        State.ON_HOLD: State.RETURNED,
        State.TO_SIGN: State.RETURNED,
        State.READY: State.RETURNED,
    },
    TicketAct.CANCEL: {State.WAITING: State.CANCELLED, State.ON_HOLD: State.CANCELLED},
}

CLOSED = frozenset({State.COLLECTED, State.RETURNED, State.CANCELLED})
OPEN = frozenset(State) - CLOSED
ON_A_BENCH = frozenset({State.BENCH, State.TO_SIGN})
# A ticket on hold waits for something else than a bench.
WORK_AHEAD = frozenset({State.WAITING, State.BENCH, State.TO_SIGN})
UNSIGNED = OPEN - {State.READY}

# What a person can do; the card does the other two by itself.
OFFERED = tuple(act for act in TicketAct if act not in (TicketAct.COMPLETE, TicketAct.REOPEN))


class NotNow(ValueError):
    """The act is not possible in this state. `says` is what is wrong, `do` what is possible."""

    def __init__(self, act: TicketAct, state: State) -> None:
        self.act, self.state, self.possible = act, state, possible(state)
        why = ": its test log is not signed" if act is TicketAct.COLLECT and self.possible else ""
        self.says = f"is {STATE_WORDS[state]} and cannot be {ACT_WORDS[act][1]}{why}."
        listed = ", ".join(ACT_WORDS[each][0] for each in self.possible)
        self.do = f"Possible now: {listed}." if listed else "Book the quad in again for new work."
        super().__init__(f"A ticket that {self.says} {self.do}")


def possible(state: State) -> tuple[TicketAct, ...]:
    """What a person can do with a ticket in this state."""
    return tuple(act for act in OFFERED if state in MOVES[act])


def allowed(act: TicketAct, state: str) -> bool:
    """Whether the act is possible in this state."""
    return state in MOVES[act]


def after(act: TicketAct, state: str) -> State:
    """The state after `act`. Raises NotNow where the act is not possible in this one."""
    was = State(state)
    if was not in MOVES[act]:
        raise NotNow(act, was)
    return MOVES[act][was]
