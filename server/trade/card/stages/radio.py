"""Stage 'radio': the receiver's protocol, the sticks, their ends, and the loss of the link."""

from collections.abc import Iterator

from server.trade.card.bench import PRACTICE, SETTING, Chapter, Draft, SheetView
from server.trade.card.kinds.channels import Channels
from server.trade.card.kinds.choice import Choice
from server.trade.card.kinds.loss import Loss
from server.trade.card.kinds.rest import LetGo
from server.trade.card.kinds.sticks import Sticks
from server.trade.card.spec import Option
from server.trade.card.text import listed
from server.trade.radio.link_loss import LINK_LOSS

PROTOCOL = "radio/protocol"
_SAME_PROTOCOL = (
    "Set the same protocol on radio, receiver and board, save, restart, look again. If nothing "
    "moves still, look at the receiver's two leads on the port map."
)


def drafts(bench: SheetView) -> Iterator[Draft]:
    """Five steps, all resting on the receiver's link."""
    yield _protocol(bench)
    yield _sticks(bench)
    yield _ends(bench)
    yield _rest(bench)
    yield _loss(bench)


def _protocol(bench: SheetView) -> Draft:
    link = bench.receiver
    protocol = (link and link.protocol) or "the protocol that the map will name"
    where = f" on {listed(link.hears)}" if link and link.hears else ""
    return Draft(
        key=PROTOCOL,
        title=f"Set the receiver's protocol to {protocol}"
        if link and link.protocol
        else "Set the receiver's protocol",
        do=(
            f"Set the receiver's protocol to {protocol}.",
            "Save the settings and restart the board.",
            "Switch the radio on, move a stick and watch the channels.",
        ),
        target=f"{protocol}{where}, channels move",
        why="Receiver and board have to speak one protocol, or the board hears nothing.",
        states=SETTING,
        evidence=Choice(
            "What do the channels do?",
            (
                Option("move", "Channels move with the sticks", passes=True),
                Option("still", "Nothing moves", do=_SAME_PROTOCOL),
                Option("jump", "They jump with the sticks at rest", do=_SAME_PROTOCOL),
            ),
        ),
        parts=bench.receiver_parts,
        setting="receiver-protocol",
    )


def _sticks(bench: SheetView) -> Draft:
    return Draft(
        key="radio/sticks",
        title="See all four sticks move the right channel",
        do=("Push that stick alone, hold it, and record what moves on the screen.",),
        target="roll, pitch, yaw, throttle: each its own channel, each rising",
        why="A wrong channel order shows as yaw that moves when the roll stick moves.",
        states=SETTING,
        evidence=Sticks(),
        parts=bench.receiver_parts,
        setting="channel-order",
    )


def _ends(bench: SheetView) -> Draft:
    return Draft(
        key="radio/ends",
        title="Read the ends and the centre of each stick",
        do=(
            "Push each stick to both ends and read its channel.",
            "Let roll, pitch and yaw go and read the centre.",
            "Put the throttle half way and read it.",
        ),
        target="low 940 to 1010 µs, centre 1490 to 1510 µs, high 1990 to 2060 µs",
        why="A stick that does not reach its ends cannot arm or gives less than full control. A "
        "little past them does no harm.",
        states=SETTING,
        evidence=Channels(),
        parts=bench.receiver_parts,
        setting="stick-view",
    )


def _rest(bench: SheetView) -> Draft:
    return Draft(
        key="radio/rest",
        title="Watch the sticks at rest",
        do=(
            "Lay the radio down and let go of it.",
            "Watch roll, pitch and yaw for ten seconds, the lowest and the highest of each.",
        ),
        target="each within 5 µs of its middle, its middle within 10 µs of 1500 µs",
        why="A board takes noise at rest for a hand. A deadband just over it keeps it out.",
        source="common practice, no source: noise of 5 µs, and 10 µs off 1500 µs, at rest",
        states=SETTING,
        evidence=LetGo(),
        parts=bench.receiver_parts,
        setting="stick-deadband",
        after=("radio/ends",),
    )


def _loss(bench: SheetView) -> Draft:
    protocol = bench.receiver and bench.receiver.protocol
    known = LINK_LOSS.get(protocol or "")
    shows = f"With {known.protocol}: {known.shows} " if known else ""
    return Draft(
        key="radio/loss",
        title="Switch the radio off and watch every channel",
        do=(
            "Leave the arm switch at rest.",
            "Hold every stick away from its rest and switch the radio off; twice where one pair of "
            "hands is not enough.",
            "Watch the channels and what the board reports for five seconds.",
            "Put the throttle down and switch the radio on again.",
        ),
        target="the board reports the loss within about 1 s; no channel stays, throttle low",
        why=f"{shows}A receiver that holds the last sticks flies the craft away.",
        source=known.source if known else PRACTICE,
        states=SETTING,
        evidence=Loss(protocol=protocol or None),
        parts=bench.receiver_parts,
        setting="link-loss",
    )


CHAPTER = Chapter("radio", "Radio", "Radio", drafts)
