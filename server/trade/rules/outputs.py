"""Which pad drives which ESC channel, and whose timer the motor pads share."""

from collections import defaultdict
from collections.abc import Iterator

from server.trade.finding import Severity
from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import sentence, together
from server.trade.sheet import Pad
from server.trade.wiring.wiring import Standing, Wiring

CHANNELS = ("1", "2", "3", "4")


def _free_motor_pads(wiring: Wiring) -> str:
    used = set(wiring.sheet.esc.outputs.values())
    free = [pad.pad for pad in wiring.pads_of_signal["motor"] if pad.pad not in used]
    return together(free, "or") or "a motor pad; the board has none free"


def _driving(wiring: Wiring) -> dict[str, list[str]]:
    """By motor pad that drives something, its ESC channels."""
    found: dict[str, list[str]] = defaultdict(list)
    for channel, name in wiring.sheet.esc.outputs.items():
        pad = wiring.pads.get(name)
        if pad is not None and pad.signal == "motor":
            found[name].append(channel)
    return found


@rule("output-missing", "stop")
def output_missing(wiring: Wiring) -> Iterator[Hit]:
    """An ESC channel that no pad drives."""
    for channel in CHANNELS:
        if channel not in wiring.sheet.esc.outputs:
            yield Hit(
                f"ESC channel {channel}",
                f"No pad drives ESC channel {channel}.",
                f"Wire ESC channel {channel} to {_free_motor_pads(wiring)}.",
            )


@rule("output-doubled", "stop")
def output_doubled(wiring: Wiring) -> Iterator[Hit]:
    """One motor pad for two ESC channels."""
    for pad, channels in _driving(wiring).items():
        if len(channels) > 1:
            yield Hit(
                pad,
                f"{pad} drives ESC channels {together(channels)} at once.",
                f"Wire ESC channel {channels[-1]} to {_free_motor_pads(wiring)}.",
            )


@rule("timer-clash", "caution", "stop")
def timer_clash(wiring: Wiring) -> Iterator[Hit]:
    """A wired LED pad on the timer of a motor pad that drives a channel."""
    motors: dict[str, list[str]] = defaultdict(list)
    for name in _driving(wiring):
        timer = wiring.pads[name].timer
        if timer is not None:
            motors[timer].append(name)
    feedback = wiring.sheet.esc.use_feedback
    for pad in wiring.pads_of_signal["led"]:
        if pad.timer in motors and _in_use(wiring, pad):
            clash = together([pad.pad, *motors[pad.timer]])
            yield Hit(
                pad.pad,
                f"{clash} share {pad.timer}"
                f"{', and the ESC answers on those pads' if feedback else ''}.",
                _elsewhere(wiring, pad, set(motors)),
                Severity.STOP if feedback else Severity.CAUTION,
            )


def _in_use(wiring: Wiring, pad: Pad) -> bool:
    idle = (Standing.UNUSED, Standing.WRONG_SIGNAL)
    return any(joint.standing not in idle for joint in wiring.joints_at(pad.pad))


def _elsewhere(wiring: Wiring, pad: Pad, timers: set[str]) -> str:
    free = [led.pad for led in wiring.pads_of_signal["led"] if led.timer not in timers]
    leads = together(f"the {j.wire.device}'s {j.wire.lead}" for j in wiring.joints_at(pad.pad))
    if free:
        return sentence(f"move {leads} from {pad.pad} to {together(free, 'or')}.")
    return sentence(f"take {leads} off {pad.pad}; no LED pad has a timer of its own.")
