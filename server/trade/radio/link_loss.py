"""How the loss of the radio link shows on each receiver protocol, and what to look for."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class LinkLoss:
    """What the board sees when the link is lost. `flagged` is whether the frames say so.

    `stops` is whether the frames end; where they neither end nor say so, only the readings tell.
    """

    protocol: str
    shows: str
    flagged: bool
    source: str
    stops: bool = False


NO_SOURCE = "common practice, no source"

ROWS = (
    LinkLoss(
        "CRSF",
        "The channel frames stop; the board waits 1 s.",
        False,
        "CRSF protocol specification, frame 0x16",
        stops=True,
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
        stops=True,
    ),
    LinkLoss("GHST", "The channel frames stop.", False, NO_SOURCE, stops=True),
    LinkLoss(
        "PPM",
        "The pulses stop, or go on at preset values, and nothing marks them.",
        False,
        "public PPM libraries",
    ),
)

LINK_LOSS: dict[str, LinkLoss] = {row.protocol: row for row in ROWS}


def remedy(protocol: str | None) -> str:
    """What to set on the receiver so that the board sees the loss; by the protocol where known."""
    known = LINK_LOSS.get(protocol or "")
    if known is None:
        return "Set the receiver to send no signal when the radio is lost, not to hold."
    if known.stops:
        return (
            f"Set the receiver to end its frames when the radio is lost: with {known.protocol} "
            "that is how the board sees it."
        )
    if known.flagged:
        return (
            "Set the receiver's own values for a lost radio to sticks in the middle and throttle "
            f"low; the flag in the {known.protocol} frames tells the board."
        )
    return (
        f"Nothing in {known.protocol} marks a lost radio. Set the receiver to send no signal; "
        "where it cannot, set its throttle value under the least that the board takes for one."
    )
