"""Stage 'picture': what the pilot sees."""

from collections.abc import Iterator

from server.trade.card.bench import LIVE, Chapter, Draft, Joined, SheetView, slug
from server.trade.card.kinds.choice import Choice
from server.trade.card.spec import Option
from server.trade.card.stages import hazards

_VIDEO_KINDS = frozenset({"video", "camera"})


def drafts(bench: SheetView) -> Iterator[Draft]:
    """Overlay and video control where such links are in use; the bare picture else."""
    overlays = bench.of_role("overlay")
    for link in overlays:
        yield _overlay(link)
    for link in bench.of_role("video-control"):
        yield _control(link)
    cameras = bench.leads_of("camera")
    kinds = {device.kind.lower() for device in bench.sheet.devices}
    if not overlays and (cameras or kinds & _VIDEO_KINDS):
        yield _shown(bench)


def _overlay(link: Joined) -> Draft:
    wires = (
        f"See that the {link.device} has power, then look at its two leads on the port map and at "
        "its port."
    )
    return Draft(
        key=f"picture/overlay/{slug(link.device)}",
        title=f"See the overlay of the {link.device}",
        do=(
            "Connect the battery and wait until the picture comes.",
            "Tilt the craft and watch the flight data on the picture.",
        ),
        target="flight data on the picture, moving with the craft",
        why="An overlay that stands still shows the last battery voltage for ever.",
        states=LIVE,
        evidence=Choice(
            "What does the picture show?",
            (
                Option("moving", "Flight data that moves with the craft", passes=True),
                Option("still", "Flight data that stands still", do=wires),
                Option("bare", "A picture with no flight data", do=wires),
                Option(
                    "none", "No picture", do=f"See that the {link.device} has power and camera."
                ),
            ),
        ),
        parts=link.parts,
        hazard=hazards.ANTENNA,
        setting="overlay-view",
    )


def _control(link: Joined) -> Draft:
    wires = f"Look at the {link.device}'s control lead on the port map and at its port."
    return Draft(
        key=f"picture/control/{slug(link.device)}",
        title=f"Set channel and power of the {link.device}",
        do=(
            "Set the channel that the owner uses, at the lowest power.",
            "Save the settings and restart the board.",
            "See on a receiver that the picture comes on that channel.",
        ),
        target="the picture on the channel that was set",
        why="Channel and power have limits that differ by country; the owner answers for them.",
        states=LIVE,
        evidence=Choice(
            "Where did the picture come?",
            (
                Option("set", "On the channel that was set", passes=True),
                Option("other", "On another channel", do=wires),
                Option("none", "Nowhere", do=wires),
            ),
        ),
        parts=link.parts,
        hazard=hazards.ANTENNA,
        setting="video-channel",
    )


def _shown(bench: SheetView) -> Draft:
    cameras = {
        f"{device} {lead}": ", ".join(pads) for device, lead, _, pads in bench.leads_of("camera")
    }
    return Draft(
        key="picture/shown",
        title="See the picture",
        do=(
            "Connect the battery and wait until the picture comes.",
            "Move a hand before the lens.",
        ),
        target="a moving picture",
        why="A dark picture in the air cannot be put right.",
        states=LIVE,
        evidence=Choice(
            "What does the picture show?",
            (
                Option("moving", "A moving picture", passes=True),
                Option("none", "No picture", do="See that camera and transmitter have power."),
                Option("torn", "Stripes or dropouts", do="Look at the video lead and its ground."),
            ),
        ),
        parts={"picture": "wanted"} | cameras,
        hazard=hazards.ANTENNA,
    )


CHAPTER = Chapter("picture", "Picture", "Picture", drafts)
