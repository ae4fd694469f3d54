"""How the loss of the radio link shows on each receiver protocol, and what to look for."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LinkLoss:
    """What the board sees when the link is lost. `flagged` is whether the frames say so."""

    protocol: str
    shows: str
    flagged: bool
    source: str


NO_SOURCE = "common practice, no source"

ROWS = (
    LinkLoss(
        "CRSF",
        "The channel frames stop; the board waits 1 s.",
        False,
        "CRSF protocol specification, frame 0x16",
    ),
    LinkLoss(
        "SBUS",
        "Frames go on with a flag: bit 0x08 of byte 23 is the receiver's failsafe, 0x04 a lost "
        "frame.",
        True,
        "public S.BUS libraries; the owner has no open specification",
    ),
    LinkLoss("FPORT", "Frames go on with a flag.", True, NO_SOURCE),
    LinkLoss(
        "IBUS",
        "Frames go on with the receiver's own preset values, and nothing marks them.",
        False,
        "public i-BUS libraries; preset values from memory",
    ),
    LinkLoss("SUMD", "Frames go on with status 0x81.", True, "public SUMD decoder header"),
    LinkLoss(
        "SRXL2",
        "Frames go on with command 0x01, failsafe data; 50 ms of silence start the handshake anew.",
        True,
        "SRXL2 specification Rev K (2020-10-08), §7",
    ),
    LinkLoss(
        "DSM",
        "The data stop; the board holds for 1 s.",
        False,
        "DSM remote receiver interfacing specification Rev G (2019-01-22), §7",
    ),
    LinkLoss("GHST", "The channel frames stop.", False, NO_SOURCE),
    LinkLoss(
        "PPM",
        "The pulses stop, or go on at preset values, and nothing marks them.",
        False,
        "public PPM libraries",
    ),
)

LINK_LOSS: dict[str, LinkLoss] = {row.protocol: row for row in ROWS}
