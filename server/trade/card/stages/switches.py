"""Stage 'switches': arming on a two-position switch of its own. Nothing else is needed to fly."""

from collections.abc import Iterator

from server.trade.card.bench import SETTING, Chapter, Draft, SheetView
from server.trade.card.kinds.choice import Choice
from server.trade.card.kinds.others import Others
from server.trade.card.kinds.switch import Switch
from server.trade.card.spec import Option

ARM = "switches/arm"
RANGE = "switches/range"
_SOURCE = (
    "common practice, no source: the armed range leaves out rest, centre and the reading with the "
    "radio off"
)


def drafts(bench: SheetView) -> Iterator[Draft]:
    """The switch's readings, the range set from them, and that nothing shares it."""
    yield _readings(bench)
    yield _range(bench)
    yield _others(bench)
    yield _alone(bench)


def _readings(bench: SheetView) -> Draft:
    return Draft(
        key=ARM,
        title="Read the arm switch",
        do=(
            "Choose a two-position switch that does nothing else.",
            "Read its channel at rest, then thrown to arm.",
            "Switch the radio off and read the channel once more.",
        ),
        target="armed 80 µs or more away from rest and from radio off",
        why="The arming range is worked out from these readings, with room on both sides.",
        source=_SOURCE,
        states=SETTING,
        evidence=Switch(),
        parts=bench.receiver_parts,
        setting="stick-view",
    )


def _range(bench: SheetView) -> Draft:
    wrong = "Set the range that the readings gave, save, restart, throw the switch again."
    return Draft(
        key=RANGE,
        title="Set the arming range and throw the switch",
        do=(
            "Set arming to the switch's channel and the range that its readings gave.",
            "Save the settings and restart the board.",
            "Throw the switch both ways, then switch the radio off with the switch thrown.",
        ),
        target="arming is asked for with the switch thrown, and never else",
        why="A range that holds the radio-off reading arms a craft whose radio is lost.",
        source=_SOURCE,
        states=SETTING,
        evidence=Choice(
            "When did the board show arming asked for?",
            (
                Option("thrown", "Only with the switch thrown and the radio on", passes=True),
                Option("rest", "With the switch at rest", do=wrong),
                Option("lost", "With the radio off", do=wrong),
                Option("never", "Never", do=wrong),
            ),
        ),
        parts=bench.receiver_parts,
        setting="arming-range",
        after=(ARM,),
    )


def _others(bench: SheetView) -> Draft:
    return Draft(
        key="switches/others",
        title="Note what else a switch brings on",
        do=(
            "Look through the board's settings for everything that a channel's range switches on.",
            "Note what it does, its channel, and the ends of its range.",
            "Note the channel that arms.",
        ),
        target="nothing comes on within the arming range of the arming channel",
        why="A range that reaches into the arming range comes on with the motors.",
        source="common practice, no source: no other function shares the arming range",
        states=SETTING,
        evidence=Others(),
        parts=bench.receiver_parts,
        setting="arming-range",
        after=(RANGE,),
        reads=(ARM,),
    )


def _alone(bench: SheetView) -> Draft:
    return Draft(
        key="switches/alone",
        title="See what else the arm switch does",
        do=(
            "Throw the arm switch and watch every function that the board shows.",
            "Throw each other switch and watch arming.",
        ),
        target="the arm switch arms and does nothing else; no other switch arms",
        why="A second function on the arm switch comes on in the air without being asked for.",
        source="common practice, no source: arming alone on its own two-position channel",
        states=SETTING,
        evidence=Choice(
            "What did the switches do?",
            (
                Option("alone", "The arm switch arms, alone, and does nothing else", passes=True),
                Option(
                    "shared",
                    "The arm switch does something else too",
                    do="Move the other function to another switch, save, look again.",
                ),
                Option(
                    "second",
                    "Another switch arms too",
                    do="Take arming off the other switch, save, look again.",
                ),
            ),
        ),
        parts=bench.receiver_parts,
        setting="arming-range",
        after=(RANGE,),
    )


CHAPTER = Chapter("switches", "Switches", "Switches", drafts)
