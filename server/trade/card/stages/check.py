"""Stage 'whole check': after a restart all again in short, then what must not happen.

No step names what it comes after: each comes after everything that was recorded on the bench.
"""

from collections.abc import Iterator

from server.trade.card.bench import (
    BATTERY,
    ORDER,
    SETTING,
    Chapter,
    Draft,
    SheetView,
)
from server.trade.card.kinds.choice import Choice
from server.trade.card.kinds.file import File
from server.trade.card.kinds.spins import Spins
from server.trade.card.spec import Option
from server.trade.card.stages import hazards
from server.trade.card.stages.battery import battery_parts
from server.trade.card.stages.motors import PLAN_SOURCE, link_parts, plan_parts
from server.trade.card.stages.ports import parts as row_parts

_FAILSAFE = (
    "common practice, no source: radio off on the bench, propellers off, motors stop in about 1 s"
)
_UNSAFE = "Unplug the battery. Set the arming range and the link loss again, then do this again."


def drafts(bench: SheetView) -> Iterator[Draft]:
    """Five steps; the last one keeps the settings as they are signed for."""
    yield _again(bench)
    yield _no_radio(bench)
    yield _spins(bench)
    yield _radio_off(bench)
    yield _saved(bench)


def _all_parts(bench: SheetView) -> dict[str, str]:
    """Everything that is set on the craft, but for the battery."""
    rows = [row for row in bench.rows if row.device]
    ports = {name: value for row in rows for name, value in row_parts(row).items()}
    settings = link_parts(bench) | plan_parts(bench)
    return bench.board_parts | ports | bench.receiver_parts | settings


def _again(bench: SheetView) -> Draft:
    return Draft(
        key="check/again",
        title="Restart and look at everything once more",
        do=(
            "Pull the USB lead, wait 5 s, connect it again.",
            "Look at the port rows, the mounting, the arming range and the motor settings.",
            "Tilt the craft and move each stick once.",
        ),
        target="all as recorded on this card",
        why="What is right before a restart and wrong after it was never saved.",
        states=SETTING,
        evidence=Choice(
            "What do you see?",
            (
                Option("same", "All as recorded", passes=True),
                Option("changed", "Something changed", do="Do that step again, then this one."),
            ),
        ),
        parts=_all_parts(bench),
        setting="save-restart",
    )


def _no_radio(bench: SheetView) -> Draft:
    return Draft(
        key="check/no-radio",
        title="Ask for arming with the radio never switched on",
        do=(
            "Switch the radio off.",
            "Connect the battery and wait until the board is up.",
            "Read whether the board refuses arming, and watch the motors.",
        ),
        target="arming refused, motors still",
        why="A craft that arms without a radio cannot be stopped.",
        source=_FAILSAFE,
        states=BATTERY,
        evidence=Choice(
            "What did the craft do?",
            (
                Option("refused", "Arming refused, motors still", passes=True),
                Option("armed", "It armed or a motor turned", do=_UNSAFE),
            ),
        ),
        parts=bench.receiver_parts,
        hazard=hazards.MOTORS,
    )


def _spins(bench: SheetView) -> Draft:
    return Draft(
        key="check/spins",
        title="Spin the four motors once more",
        do=(
            "Connect the battery direct.",
            "Spin each output at the lowest speed that turns it.",
            "Record which corner moved and which way.",
        ),
        target="each output moves its own corner, its own way",
        why="The last look at order and directions is after the last restart.",
        source=PLAN_SOURCE,
        states=BATTERY,
        evidence=Spins(bench.outputs, bench.sheet.craft.props),
        parts=bench.output_parts | plan_parts(bench) | link_parts(bench),
        hazard=hazards.MOTORS,
        setting="motor-test",
        reads=(ORDER,),
    )


def _radio_off(bench: SheetView) -> Draft:
    return Draft(
        key="check/radio-off",
        title="Arm, then switch the radio off",
        do=(
            "Switch the radio on, throttle low, and arm.",
            "Raise the throttle until all motors turn slowly.",
            "Switch the radio off and watch the motors.",
        ),
        target="all motors stop within about 1 s",
        why="This is what the craft does when it flies out of reach.",
        source=_FAILSAFE,
        states=BATTERY,
        evidence=Choice(
            "What did the motors do?",
            (
                Option("stopped", "All stopped within about 1 s", passes=True),
                Option("late", "They stopped later", do=_UNSAFE),
                Option("on", "One or more kept turning", do=_UNSAFE),
                Option(
                    "unarmed",
                    "The craft would not arm",
                    do="Read the reason that the board gives, clear it, then do this again.",
                ),
            ),
        ),
        parts=bench.receiver_parts | link_parts(bench),
        hazard=hazards.MOTORS,
    )


def _saved(bench: SheetView) -> Draft:
    return Draft(
        key="check/saved",
        title="Save the settings as they are now",
        do=("Connect the USB lead.", "Save all settings as a file.", "Put the file on the ticket."),
        target="a file with the settings that this card proves",
        why="From it an erased craft is put back in minutes.",
        source="common practice, no source: a copy of the settings before and after",
        states=SETTING,
        evidence=File("The settings as handed over"),
        parts=_all_parts(bench) | bench.output_parts | battery_parts(bench),
        setting="keep-settings",
    )


CHAPTER = Chapter("check", "Whole check", "Check", drafts, whole=True)
