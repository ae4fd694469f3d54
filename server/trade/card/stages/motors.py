"""Stage 'motors': link, plan, the firmware's own order, first power, spins."""

from collections.abc import Iterator
from decimal import Decimal

from server.trade.card.bench import (
    BATTERY,
    FIRST_POWER,
    LIMITED,
    ORDER,
    SETTING,
    Chapter,
    Draft,
    SheetView,
)
from server.trade.card.current import SOURCE as IDLE_SOURCE
from server.trade.card.current import draw_parts, draws, idle, shares
from server.trade.card.kinds.choice import Choice
from server.trade.card.kinds.motor_link import MotorLinkTick
from server.trade.card.kinds.order import Order
from server.trade.card.kinds.spins import Spins
from server.trade.card.kinds.tick import Tick
from server.trade.card.kinds.value import Field, Value
from server.trade.card.spec import Option
from server.trade.card.stages import hazards
from server.trade.card.stages.battery import battery_parts
from server.trade.card.stages.before import keys as before_keys
from server.trade.card.stages.motor_words import loop_share, motor_link
from server.trade.card.text import listed, plain
from server.trade.tables.motor_links import MOTOR_LINKS

SPINS = "motors/spins"
_STILL = "See that the motor turns and that the ESC reports its speed, then read again."
PLAN_SOURCE = (
    "common practice, no source: props-in turns FL and RR clockwise; neighbours opposite by the "
    "balance of yaw (Mahony, Kumar and Corke, IEEE RAM 19(3) 2012, from memory)"
)


def drafts(bench: SheetView) -> Iterator[Draft]:
    """Settings first, then the limiter, then the battery."""
    yield _link(bench)
    if bench.sheet.esc.use_feedback:
        yield _feedback(bench)
    yield _plan(bench)
    yield _order(bench)
    yield _stuck(bench)
    yield _first_power(bench)
    yield _spins(bench)
    if bench.sheet.esc.use_feedback:
        yield _speeds(bench)


def link_parts(bench: SheetView) -> dict[str, str]:
    """The motor link as a basis."""
    esc, loop = bench.sheet.esc, bench.sheet.control.loop_hz
    return {
        "motor link": motor_link(bench.sheet) or "not chosen",
        "feedback": "wanted" if esc.use_feedback else "not used",
        "control loop": "not known" if loop is None else f"{plain(loop)} Hz",
    }


def plan_parts(bench: SheetView) -> dict[str, str]:
    """Which way the propellers go, as a basis."""
    return {"propellers": bench.sheet.craft.props}


def _link(bench: SheetView) -> Draft:
    link = motor_link(bench.sheet)
    share = loop_share(bench.sheet)
    name = link or "the link that the map will name"
    return Draft(
        key="motors/link",
        title=f"Set the motor link to {link}" if link else "Set the motor link",
        do=(f"Set the motor link to {name}.", "Save the settings."),
        target=name + (f", {share} % of the loop used" if share else ""),
        why="Board and ESC have to speak one link, and a frame has to fit in the control loop.",
        source=MOTOR_LINKS[link].source if link else "common practice, no source",
        states=SETTING,
        evidence=MotorLinkTick(
            link or "motor link set",
            link,
            tuple(sorted(bench.sheet.esc.speaks)),
            bench.sheet.control.loop_hz,
            bench.sheet.esc.use_feedback,
        ),
        parts=link_parts(bench),
        setting="motor-link",
    )


def _feedback(bench: SheetView) -> Draft:
    known = bench.sheet.motors.poles
    poles = "as counted" if known is None else plain(known)
    return Draft(
        key="motors/feedback",
        title="Have the ESC report motor speed",
        do=(
            "Set the motor link to carry speed back.",
            f"Set the number of motor poles to {poles}.",
            "Save the settings.",
        ),
        target=f"speed reported, {poles} poles",
        why="Speed is worked out from the poles; a wrong number misplaces every filter.",
        source="speed = electrical speed x 2 / poles: any text on electrical machines, from memory",
        states=SETTING,
        evidence=Tick(f"feedback on, {poles} poles"),
        parts=link_parts(bench) | {"motor poles": poles},
        setting="motor-feedback",
        after=("motors/link",),
    )


def _plan(bench: SheetView) -> Draft:
    props = bench.sheet.craft.props
    return Draft(
        key="motors/plan",
        title=f"Set the direction plan to {props}",
        do=(
            f"Set the motors' directions to {props}.",
            "See that the propellers in the bag are those of this plan.",
            "Save the settings.",
        ),
        target=props,
        why="The board corrects yaw the wrong way round when plan and propellers differ.",
        source=PLAN_SOURCE,
        states=SETTING,
        evidence=Tick(props),
        parts=plan_parts(bench),
        setting="motor-plan",
    )


def _order(bench: SheetView) -> Draft:
    outputs = listed(str(output) for output in bench.outputs)
    return Draft(
        key=ORDER,
        title="Note which corner the firmware expects on each output",
        do=(
            "Read in the firmware's own pages which corner each motor output has to drive.",
            f"Note the corner for outputs {outputs}.",
        ),
        target="each of the four corners once",
        why="Orders differ from firmware to firmware. What is noted here holds for this craft.",
        source="common practice, no source: the motors' numbers are the firmware's own",
        states=SETTING,
        evidence=Order(bench.outputs),
        parts=bench.output_parts | bench.board_parts,
        setting="motor-order",
    )


def _stuck(bench: SheetView) -> Draft:
    return Draft(
        key="motors/stuck",
        title="Save, restart, look again at the motor settings",
        do=(
            "Save the settings and restart the board.",
            "Look again at link, feedback and directions.",
        ),
        target=listed([motor_link(bench.sheet) or "the motor link", bench.sheet.craft.props]),
        why="What did not stick shows at the first spin, under power.",
        states=SETTING,
        evidence=Choice(
            "What do the pages show after the restart?",
            (
                Option("stuck", "All as set", passes=True),
                Option("changed", "Something changed", do="Set it again, save, restart, look."),
            ),
        ),
        parts=link_parts(bench) | plan_parts(bench),
        setting="save-restart",
        after=("motors/link", "motors/plan"),
    )


def _first_power(bench: SheetView) -> Draft:
    window, found = idle(bench), draws(bench)
    target = f"{plain(window.low)} to {plain(window.high)} A"
    tripped = "Unplug. Find the short or the part on a wrong rail, measure, then try again."
    return Draft(
        key=FIRST_POWER,
        title="First power: read the current at rest",
        do=(
            f"Set the current limiter to {plain(window.limiter)} A.",
            "Connect the battery through the limiter.",
            "Feel for heat and look for smoke.",
            "Wait 10 s, then read the current.",
        ),
        target=target,
        why=f"Sum of {listed(['board and ESC', *(d.device for d in found)])}, at the battery.",
        source=IDLE_SOURCE,
        states=LIMITED,
        evidence=Value(
            fields=(
                Field(
                    "amps",
                    "Current at rest",
                    "A",
                    low=window.low,
                    high=window.high,
                    under="See which part is dark: it may have no power. Then read again.",
                    over="Unplug. Look for a hot part, a short or a part on a wrong rail.",
                    trips=window.limiter,
                ),
            ),
            instead=(
                Option("tripped", "The limiter tripped", do=tripped),
                Option("heat", "Heat, smoke or smell", do=tripped),
            ),
            shares=shares(bench),
        ),
        # The target rests on the draws; the wires are here because a limiter belongs into the lead
        # after any wiring work (common practice, no source), and battery waits for this step.
        parts=draw_parts(found) | battery_parts(bench) | bench.joint_parts,
        hazard=hazards.FIRST_POWER,
        after=before_keys(bench),
        joints=True,
    )


def _spins(bench: SheetView) -> Draft:
    return Draft(
        key=SPINS,
        title="Spin the motors one by one",
        do=(
            "Connect the battery direct.",
            "Spin one output at the lowest speed that turns it.",
            "Record which corner moved and which way, seen from above, then spin the next.",
        ),
        target="each output moves its own corner, its own way",
        why="A motor in a wrong place or direction flips the craft at take-off.",
        source=PLAN_SOURCE,
        states=BATTERY,
        evidence=Spins(bench.outputs, bench.sheet.craft.props),
        parts=bench.output_parts | plan_parts(bench) | link_parts(bench),
        hazard=hazards.MOTORS,
        setting="motor-test",
        after=(ORDER, "motors/stuck"),
        reads=(ORDER,),
    )


def _speeds(bench: SheetView) -> Draft:
    return Draft(
        key="motors/speeds",
        title="Compare the four speeds",
        do=(
            "Spin all outputs at one low throttle.",
            "Wait until the speeds are steady, then read each.",
        ),
        target="no motor stands out from the others",
        why="A rubbing bearing or a loose lead shows as a speed of its own before it is heard.",
        source=(
            "modified z-score over 3.5: Iglewicz and Hoaglin, ASQC vol. 16, 1993, as read in "
            "public texts; 5 % off the median: common practice, no source"
        ),
        states=BATTERY,
        evidence=Value(
            fields=tuple(
                Field(f"output-{n}", f"Speed of output {n}", "rpm", low=Decimal(1), under=_STILL)
                for n in bench.outputs
            ),
            alike=True,
        ),
        parts=bench.output_parts | link_parts(bench),
        hazard=hazards.MOTORS,
        setting="motor-test",
        after=(SPINS, "motors/feedback"),
    )


CHAPTER = Chapter("motors", "Motors", "Motors", drafts)
