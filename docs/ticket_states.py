"""The page of a ticket's states and moves, made from the table that the acts read."""

from server.trade.events import SENTENCES
from server.trade.ticket import ACT_WORDS, CLOSED, MOVES, OFFERED, STATE_WORDS, State


def ticket_states(made: str) -> str:
    """Which act is possible in which state, where it leads, and what the history says."""
    open_ = [state for state in State if state not in CLOSED]
    rows = [
        [ACT_WORDS[act][0], *(_cell(MOVES[act].get(state), state) for state in open_)]
        for act in OFFERED
    ]
    heads = ["", *(STATE_WORDS[state] for state in open_)]
    table = [heads, ["---"] * len(heads), *rows]
    closed = ", ".join(f"*{STATE_WORDS[state]}*" for state in State if state in CLOSED)
    return (
        "\n\n".join(
            [
                "# A ticket's states",
                made,
                "What can be done with a ticket in a state (across), and the state that it has"
                " then. An empty cell: not possible, and the page says what is. While it is on a"
                " bench, the card moves it between *on the bench* and *to sign* by itself: to sign"
                " once every step is done and nothing is at stop, back when a step is to be done"
                " again.",
                "\n".join(f"| {' | '.join(line)} |" for line in table),
                f"Nothing more is done with a ticket that is {closed}: book the quad in again.",
                "## What its history says",
                "\n".join(f"- {said}" for said in SENTENCES.values() if said != "{says}"),
            ]
        )
        + "\n"
    )


def _cell(to: State | None, at: State) -> str:
    if to is None:
        return " "
    return "stays" if to is at else STATE_WORDS[to]
