"""Settings in plain words, and the shop's own words for them.

Steps are written so that they hold for any set-up program. A shop may enter what its own program
calls a setting; its cards then say both. Nothing of the kind is shipped.
"""

from collections.abc import Mapping
from dataclasses import dataclass

Wording = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Setting:
    """A thing that is set on the craft. `says` tells a person which one is meant."""

    key: str
    says: str


SETTINGS = (
    Setting("keep-settings", "Saving all settings of the craft as a file"),
    Setting("own-words", "Where the board names its firmware, version and board type"),
    Setting("level", "Teaching the accelerometer what flat and still is"),
    Setting("mounting", "How the board is turned in the craft: roll, pitch, yaw"),
    Setting("port-receiver", "Setting a port to receiver input"),
    Setting("port-overlay", "Setting a port to the flight data drawn on the pilot's picture"),
    Setting("port-video-control", "Setting a port to control a video transmitter"),
    Setting("port-position", "Setting a port to a position unit"),
    Setting("port-esc-telemetry", "Setting a port to what the ESC reports"),
    Setting("port-ground-link", "Setting a port to a link with the ground"),
    Setting("port-other", "Setting a port to any other part"),
    Setting("save-restart", "Saving the settings and restarting the board"),
    Setting("receiver-protocol", "Which protocol the receiver input speaks"),
    Setting("channel-order", "Which channel carries which stick"),
    Setting("stick-view", "Where the board shows what it reads from each channel, in µs"),
    Setting("stick-deadband", "How far a stick at rest may stray before it counts as moved"),
    Setting("link-loss", "What the board does when the radio is lost"),
    Setting("arming-range", "Which switch arms, and over which range of its channel"),
    Setting("motor-link", "Which link the board uses to the ESC"),
    Setting("motor-feedback", "Having the ESC report speed on the motor leads"),
    Setting("motor-plan", "Which way the motors turn: props-in or props-out"),
    Setting("motor-order", "Which output drives which corner"),
    Setting("motor-test", "Turning one motor by hand from the set-up page"),
    Setting("overlay-view", "What is drawn on the pilot's picture"),
    Setting("video-channel", "Channel and power of the video transmitter"),
    Setting("battery-scale", "The scale of the battery voltage reading"),
    Setting("current-scale", "The scale of the current reading, and so of the mAh counted"),
    Setting("battery-warnings", "At which voltage the craft warns, and at which one lands"),
)

KNOWN = frozenset(setting.key for setting in SETTINGS)


def weave(line: str, setting: str | None, wording: Wording | None) -> str:
    """`line` with the shop's own words for `setting` in brackets before its full stop."""
    words = " ".join((wording or {}).get(setting or "", "").split())
    if not words:
        return line
    return f"{line.removesuffix('.')} (you call it: {words})."
