"""Which pad drives which ESC channel, and whose timer the motor pads share."""

from collections import defaultdict
from collections.abc import Iterator
from functools import partial

from server.trade.rules.advice import Advice
from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import sentence, together
from server.trade.sheet import Pad
from server.trade.wiring.wiring import Joint, WireStatus, Wiring

CHANNELS = ("1", "2", "3", "4")
TIMED = ("led", "ppm", "camera")


def _driving(wiring: Wiring) -> dict[str, list[str]]:
    """By motor pad that drives something, its ESC channels."""
    found: dict[str, list[str]] = defaultdict(list)
    for channel, name in wiring.sheet.esc.outputs.items():
        pad = wiring.pads.get(name)
        if pad is not None and pad.signal == "motor":
            found[name].append(channel)
    return found


def _channels(channels: list[str], advice: Advice) -> str:
    last = f"Wire ESC channel {together(channels)} to a motor pad; the board has none free."
    return advice.for_channels(channels, last)


@rule("output-missing", "stop")
def output_missing(wiring: Wiring) -> Iterator[Hit]:
    """An ESC channel that no pad drives."""
    for channel in CHANNELS:
        if channel not in wiring.sheet.esc.outputs:
            yield Hit(
                f"ESC channel {channel}",
                f"No pad drives ESC channel {channel}.",
                partial(_channels, [channel]),
            )


@rule("output-doubled", "stop")
def output_doubled(wiring: Wiring) -> Iterator[Hit]:
    """One motor pad for two ESC channels."""
    for pad, channels in _driving(wiring).items():
        if len(channels) > 1:
            says = f"{pad} drives ESC channels {together(channels)} at once."
            yield Hit(pad, says, partial(_channels, channels))


@rule("timer-clash", "caution")
def timer_clash(wiring: Wiring) -> Iterator[Hit]:
    """A pad in use that needs a timer, on the timer of a motor pad that drives a channel."""
    motors: dict[str, list[str]] = defaultdict(list)
    for name in _driving(wiring):
        timer = wiring.pads[name].timer
        if timer is not None:
            motors[timer].append(name)
    if not motors:
        return
    for pad in wiring.pads.values():
        if pad.timer in motors and needs_its_timer(wiring, pad):
            joints = [joint for joint in wiring.joints_at(pad.pad) if in_use(joint)]
            if joints:
                on = motors[pad.timer]
                says = f"{together([pad.pad, *on])} share {pad.timer}."
                yield Hit(pad.pad, says, partial(_looked_up, pad, on, joints))


def needs_its_timer(wiring: Wiring, pad: Pad) -> bool:
    """Whether the pad works by its timer: pulses in, lights, camera control, a software port."""
    if pad.signal in TIMED:
        return True
    return pad.port is not None and wiring.ports[pad.port].software


def in_use(joint: Joint) -> bool:
    """Whether a wire makes its pad work: not one of an unused link, nor of another kind of lead."""
    return joint.standing not in (WireStatus.UNUSED, WireStatus.WRONG_SIGNAL)


def _looked_up(pad: Pad, motors: list[str], joints: list[Joint], advice: Advice) -> str:
    look = f"Look up in the board's pad list whether {together([pad.pad, *motors])} disturb each"
    look += " other"
    moves = advice.for_leads([joint.lead for joint in joints if joint.lead is not None], "")
    if not moves:
        outputs = advice.wiring.sheet.esc.outputs
        moves = advice.for_channels([c for c, name in outputs.items() if name in motors], "")
    if moves:
        return f"{look}; if they do: {moves[:1].lower()}{moves[1:]}"
    leads = together(f"the {joint.wire.device}'s {joint.wire.lead}" for joint in joints)
    return sentence(f"{look}; if they do, no pad on another timer is free for {leads}.")
