"""The findings of the spin test, and the likely causes of a motor that did not do as asked."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from server.trade.finding import Finding, Severity
from server.trade.motors.corners import PLACES
from server.trade.solving import COMMON


@dataclass(frozen=True, slots=True)
class Cause:
    """One likely cause, and the next thing to look at."""

    cause: str
    look: str


# In order of likelihood, the cheap looks first: common practice, no source.
CAUSES: dict[str, tuple[Cause, ...]] = {
    "dead": (
        Cause(
            "The signal lead of that output is off its pad or broken.",
            "Unplug, then measure from the board's pad to the ESC's signal pad: under 1 Ω.",
        ),
        Cause(
            "The ESC channel does not hear the link that is set.",
            "Compare the motor link with what the ESC speaks, and listen for the channel's tones.",
        ),
        Cause(
            "One of the motor's three leads is off.",
            "Unplug, then measure each pair of the three leads: all three read alike.",
        ),
        Cause(
            "The output is given to something else, such as a light on its timer.",
            "Look at what the pads on that output's timer are used for.",
        ),
        Cause(
            "The ESC channel or the motor is burnt.",
            "Unplug, put a neighbour's motor on that channel, and spin again through the limiter.",
        ),
    ),
    "doubled": (
        Cause("A corner was noted wrongly.", "Spin the two outputs again, one after the other."),
        Cause(
            "Both outputs are set to one motor pad.",
            "Compare the output rows in the set-up with the sheet.",
        ),
        Cause(
            "A solder bridge joins the two signal pads.",
            "Unplug, then measure between the two pads: no connection.",
        ),
    ),
    "two": (
        Cause(
            "A solder bridge joins two signal pads.",
            "Unplug, then measure from this pad to its neighbours: no connection.",
        ),
        Cause(
            "One signal lead goes to two ESC channels.",
            "Follow the lead from the pad to the ESC.",
        ),
        Cause(
            "Two rows of the set-up name this output.",
            "Compare the output rows in the set-up with the sheet.",
        ),
    ),
    "stuttered": (
        Cause(
            "One of the motor's three leads has no contact.",
            "Unplug, then measure each pair of the three leads: all three read alike.",
        ),
        Cause(
            "A screw touches the winding.",
            "Unplug, take the screws out by a turn, and measure from a lead to the frame.",
        ),
        Cause(
            "The drive was too low to start, or the link is noisy.",
            "Spin again a little higher, then compare the motor link with what the ESC speaks.",
        ),
    ),
    "slow": (
        Cause(
            "Something rubs: a screw, a hair, or a bent bell.",
            "Unplug, turn the motor by hand, and compare with its neighbours.",
        ),
        Cause(
            "One of the motor's three leads has poor contact.",
            "Unplug, then measure each pair of the three leads: all three read alike.",
        ),
        Cause("A bearing is dry or worn.", "Unplug, pull and tilt the bell: no play, no grating."),
        Cause(
            "It is a motor of another kind than the others.",
            "Read the labels of all four motors.",
        ),
    ),
    "fast": (
        Cause(
            "It is a motor of another kind than the others.",
            "Read the labels of all four motors.",
        ),
        Cause(
            "That ESC channel takes its throttle otherwise than the others.",
            "Compare the four channels' settings; with a pulse link set the ends of travel again.",
        ),
        Cause(
            "A magnet is loose or has lost its strength.",
            "Unplug, turn the motor by hand: the steps it clicks through are all as strong.",
        ),
    ),
}


def spin_findings(
    table: Mapping[int, str | None],
    exchange: Mapping[int, int],
    reverse: Sequence[int],
    dead: Sequence[int],
    doubled: Sequence[int],
) -> tuple[Finding, ...]:
    """One finding a kind of fault, in the order in which they are to be put right."""
    return tuple(
        Finding(code, Severity.STOP, _outputs(outputs), says, do, COMMON)
        for code, outputs, says, do in _faults(table, exchange, reverse, dead, doubled)
        if outputs
    )


def _faults(
    table: Mapping[int, str | None],
    exchange: Mapping[int, int],
    reverse: Sequence[int],
    dead: Sequence[int],
    doubled: Sequence[int],
) -> Iterator[tuple[str, Sequence[int], str, str]]:
    yield "motor-dead", dead, f"Nothing turned on {_outputs(dead)}.", CAUSES["dead"][0].look
    yield "motor-doubled", doubled, _same_corner(table, doubled), CAUSES["doubled"][0].look
    moves = "; ".join(f"{_drives(table, n)}, expected on {m}" for n, m in exchange.items())
    back = "Give each motor the output that the firmware expects, save, restart and spin again."
    yield "motor-order", tuple(exchange), f"The order is not the firmware's: {moves}.", back
    turns = "; ".join(_drives(table, n) for n in reverse)
    over = (
        f"Reverse {_outputs(reverse)} in the ESC, or exchange two of the motor's three leads with "
        "the battery off. Spin again."
    )
    yield "motor-direction", reverse, f"Turning against the plan: {turns}.", over


def _outputs(outputs: Sequence[int]) -> str:
    numbers = ", ".join(map(str, outputs))
    return f"output {numbers}" if len(outputs) == 1 else f"outputs {numbers}"


def _drives(table: Mapping[int, str | None], output: int) -> str:
    corner = str(table[output])
    return f"output {output} drives {PLACES[corner]} ({corner})"


def _same_corner(table: Mapping[int, str | None], doubled: Sequence[int]) -> str:
    corners = sorted({str(table[output]) for output in doubled})
    return f"More than one of {_outputs(doubled)} moved {' and '.join(corners)}."
