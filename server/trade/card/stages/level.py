"""Stage 'level and orientation': flat and still first, then how the board is turned."""

from collections.abc import Iterator

from server.trade.card.bench import SETTING, Chapter, Draft, SheetView
from server.trade.card.kinds.choice import Choice
from server.trade.card.kinds.faces import Faces
from server.trade.card.kinds.tick import Tick
from server.trade.card.spec import Option

_AXES = (
    "axes x forward, y right, z down: ISO 1151-1, from memory; the check by tilting: "
    "common practice, no source"
)


def drafts(bench: SheetView) -> Iterator[Draft]:
    """Level, the held faces, and the turn that faces cannot show."""
    yield _flat(bench)
    yield _faces(bench)
    yield _turn(bench)


def _flat(bench: SheetView) -> Draft:
    return Draft(
        key="level/flat",
        title="Teach the accelerometer flat and still",
        do=(
            "Put the craft on a flat plate and let go of it.",
            "Start the levelling and wait until it ends.",
            "Save the settings.",
        ),
        target="flat and still while it runs",
        why="Every angle is counted from what the sensor takes for level.",
        states=SETTING,
        evidence=Tick("level set, craft flat and still"),
        parts=bench.board_parts,
        setting="level",
    )


def _faces(bench: SheetView) -> Draft:
    return Draft(
        key="level/faces",
        title="See how the on-screen craft lies in three poses",
        do=(
            "Put the real craft flat and see which part of the on-screen craft is down.",
            "Hold it nose down and look again.",
            "Hold it right side down and look again.",
        ),
        target="the same part down on the screen as on the bench, three times",
        why="A board that is turned in the craft and not told so flips it at take-off.",
        source=_AXES,
        states=SETTING,
        evidence=Faces(),
        parts=bench.board_parts,
        setting="mounting",
    )


def _turn(bench: SheetView) -> Draft:
    again = "Record the three poses again. Set what they ask for, save, restart, then look again."
    return Draft(
        key="level/turn",
        title="Turn the nose to the right and watch the screen",
        do=(
            "Put the real craft flat.",
            "Turn its nose a quarter turn to its right, as seen from above.",
            "See which way the on-screen nose turns.",
        ),
        target="the on-screen nose turns the same way",
        why="Gravity shows two axes of three. Only a turn shows the third.",
        source=_AXES,
        states=SETTING,
        evidence=Choice(
            "Which way did the on-screen nose turn?",
            (
                # Left first, as on the craft: the answer that passes is not to lead the eye.
                Option("left", "To its left", do=again),
                Option("right", "To its right", passes=True),
                Option("other", "It rolled or pitched", do=again),
                Option("still", "It did not move", do="See that the board answers at all."),
            ),
        ),
        parts=bench.board_parts,
    )


CHAPTER = Chapter("level", "Level and orientation", "Level", drafts)
