"""The findings of the spin test, and the likely causes of a motor that did not do as asked."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from server.trade.finding import Finding, Severity
from server.trade.motors.corners import PLACES
from server.trade.solving import found


@dataclass(frozen=True, slots=True)
class LikelyCause:
    """One likely cause, and the next thing to look at."""

    cause: str
    look: str


# In order of likelihood, the cheap looks first: common practice, no source.
CAUSES: dict[str, tuple[LikelyCause, ...]] = {
    "dead": (
        LikelyCause(
            "The signal lead of that output is off its pad or broken.",
            "Unplug, then measure from the board's pad to the ESC's signal pad: under 1 Ω.",
        ),
        LikelyCause(
            "The ESC channel does not hear the link that is set.",
            "Compare the motor link with what the ESC speaks, and listen for the channel's tones.",
        ),
        LikelyCause(
            "One of the motor's three leads is off.",
            "Unplug, then measure each pair of the three leads: all three read alike.",
        ),
        LikelyCause(
            "The output is given to something else, such as a light on its timer.",
            "Look at what the pads on that output's timer are used for.",
        ),
        LikelyCause(
            "The ESC channel or the motor is burnt.",
            "Unplug, put a neighbour's motor on that channel, and spin again through the limiter.",
        ),
    ),
    "doubled": (
        LikelyCause(
            "A corner was noted wrongly.", "Spin the two outputs again, one after the other."
        ),
        LikelyCause(
            "Both outputs are set to one motor pad.",
            "Compare the output assignment with the sheet.",
        ),
        LikelyCause(
            "A solder bridge joins the two signal pads.",
            "Unplug, then measure between the two pads: no connection.",
        ),
    ),
    "two": (
        LikelyCause(
            "A solder bridge joins two signal pads.",
            "Unplug, then measure from this pad to its neighbours: no connection.",
        ),
        LikelyCause(
            "One signal lead goes to two ESC channels.",
            "Follow the lead from the pad to the ESC.",
        ),
        LikelyCause(
            "This output is assigned to two motors in the setup.",
            "Compare the output assignment with the sheet.",
        ),
    ),
    "stuttered": (
        LikelyCause(
            "One of the motor's three leads has no contact.",
            "Unplug, then measure each pair of the three leads: all three read alike.",
        ),
        LikelyCause(
            "A screw touches the winding.",
            "Unplug, take the screws out by a turn, and measure from a lead to the frame.",
        ),
        LikelyCause(
            "The drive was too low to start, or the link is noisy.",
            "Spin again a little higher, then compare the motor link with what the ESC speaks.",
        ),
    ),
    "slow": (
        LikelyCause(
            "Something rubs: a screw, a hair, or a bent bell.",
            "Unplug, turn the motor by hand, and compare with its neighbours.",
        ),
        LikelyCause(
            "One of the motor's three leads has poor contact.",
            "Unplug, then measure each pair of the three leads: all three read alike.",
        ),
        LikelyCause(
            "A bearing is dry or worn.", "Unplug, pull and tilt the bell: no play, no grating."
        ),
        LikelyCause(
            "It is a motor of another kind than the others.",
            "Read the labels of all four motors.",
        ),
    ),
    "fast": (
        LikelyCause(
            "It is a motor of another kind than the others.",
            "Read the labels of all four motors.",
        ),
        LikelyCause(
            "This ESC channel is set up differently.",
            "Compare the four channels' settings; with a pulse link calibrate the ESC again.",
        ),
        LikelyCause(
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
    other_plan: str | None = None,
) -> tuple[Finding, ...]:
    """One finding a kind of fault, in the order in which they are to be put right.

    `other_plan` is the plan of propellers for which all four motors turn right, if they do.
    """
    faults = (
        ("motor-dead", dead, f"Nothing turned on {_outputs(dead)}.", CAUSES["dead"][0].look),
        ("motor-doubled", doubled, _same_corner(table, doubled), CAUSES["doubled"][0].look),
        ("motor-order", tuple(exchange), *_order(table, exchange)),
        ("motor-direction", reverse, *_direction(table, reverse, other_plan)),
    )
    return tuple(
        found(code, Severity.STOP, _outputs(outputs), says, do)
        for code, outputs, says, do in faults
        if outputs
    )


def _order(table: Mapping[int, str | None], exchange: Mapping[int, int]) -> tuple[str, str]:
    moves = "; ".join(f"{_drives(table, n)}, expected on {m}" for n, m in exchange.items())
    back = "Give each motor the output that the firmware expects, save, restart and spin again."
    return f"The order is not the firmware's: {moves}.", back


def _direction(
    table: Mapping[int, str | None], reverse: Sequence[int], other_plan: str | None
) -> tuple[str, str]:
    over = (
        f"Reverse {_outputs(reverse)} in the ESC, or exchange two of the motor's three leads with "
        "the battery off. Spin again."
    )
    if other_plan:
        return (
            f"All four motors turn against the plan, as {other_plan} wants it.",
            f"Check first whether the craft is built {other_plan}: then choose that plan on the "
            f"sheet. If it is not: {over[0].lower()}{over[1:]}",
        )
    turns = "; ".join(_drives(table, n) for n in reverse)
    return f"Turning against the plan: {turns}.", over


def _outputs(outputs: Sequence[int]) -> str:
    numbers = ", ".join(map(str, outputs))
    return f"output {numbers}" if len(outputs) == 1 else f"outputs {numbers}"


def _drives(table: Mapping[int, str | None], output: int) -> str:
    corner = str(table[output])
    return f"output {output} drives {PLACES[corner]} ({corner})"


def _same_corner(table: Mapping[int, str | None], doubled: Sequence[int]) -> str:
    corners = sorted({str(table[output]) for output in doubled})
    return f"More than one of {_outputs(doubled)} moved {' and '.join(corners)}."
