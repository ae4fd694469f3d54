"""Stage 'keep what is there': the old settings go onto the ticket before any of them changes."""

from collections.abc import Iterator

from server.trade.card.bench import SETTING, Chapter, Draft, SheetView
from server.trade.card.kinds.file import File

SOURCE = "common practice, no source; a record of the condition found: 14 CFR 43.9(a)(1)"


def drafts(bench: SheetView) -> Iterator[Draft]:
    """Old settings, firmware and board type."""
    yield Draft(
        key="keep/settings",
        title="Save the old settings as a file",
        do=(
            "Connect the USB lead.",
            "Save all settings of the craft as a file.",
            "Put the file on the ticket.",
        ),
        target="a file, or the reason why there is none",
        why="What was there cannot be read again after the first change.",
        source=SOURCE,
        states=SETTING,
        evidence=File("The settings as found"),
        parts=bench.board_parts,
        setting="keep-settings",
    )
    board = bench.board_parts
    yield Draft(
        key="keep/firmware",
        title="Note the firmware and the board type that it names",
        do=(
            "Read which firmware, which version and which board type the board names.",
            "Keep the page as a picture or a text file on the ticket.",
        ),
        target=f"made for {board['board']}, {board['chip']}",
        why="Firmware made for another board moves every pad to another place.",
        source=SOURCE,
        states=SETTING,
        evidence=File("Firmware, version and board type as found"),
        parts=board,
        setting="own-words",
    )


CHAPTER = Chapter("keep", "Keep what is there", "Keep", drafts)
