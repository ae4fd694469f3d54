"""How a fault on purpose is written down, and the parts that many of them use."""

from typing import NamedTuple

from tests.edits import Edit, part, port, put

STOP, CAUTION, NOTE = "stop", "caution", "note"
Expected = set[tuple[str, str, str]]


class Fault(NamedTuple):
    """`name` says what was done; `found` is (code, severity, subject) of all that is wrong."""

    name: str
    edits: tuple[Edit, ...]
    found: Expected


def fault(name: str, *edits: Edit, stop: str = "", caution: str = "", note: str = "") -> Fault:
    """`stop`, `caution` and `note` list 'code subject', parted by semicolons."""
    found: Expected = set()
    for severity, texts in ((STOP, stop), (CAUTION, caution), (NOTE, note)):
        for text in filter(None, texts.split("; ")):
            code, subject = text.split(" ", 1)
            found.add((code, severity, subject))
    return Fault(name, edits, found)


RECEIVER = "devices/receiver/links/0"
VIDEO = "devices/video unit/links/0"
UART5 = port("UART5", rx="R5", tx="T5")
SBUS = put(f"{RECEIVER}/set_to", "SBUS")
NO_FEEDBACK = put("esc/use_feedback", False)


def gps(pad_name: str = "", **link: object) -> Edit:
    """A position module that only has to be heard."""
    return part("gps", "NMEA", role="position", leads={"tx": pad_name}, **link)


def vtx(pad_name: str = "", *speaks: str, kind: str = "one_wire", **link: object) -> Edit:
    """A half-duplex control wire."""
    spoken = speaks or ("VTX-9600",)
    return part("vtx", *spoken, role="video-control", leads={kind: pad_name}, **link)
