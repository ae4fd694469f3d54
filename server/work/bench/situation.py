"""What the gate is told: of the row that an act holds, or of the head that a page is drawn from."""

from collections.abc import Iterable

from sqlalchemy import Connection

from server.records import people
from server.trade.card import FIRST_POWER
from server.trade.fault_finder import Check
from server.trade.gate import Blocked, PowerLimits, PowerNow, Situation, StepRef, Task, Worked
from server.work.bench.step_status import StepStatus, first_power
from server.work.errors import Locked
from server.work.port_map.facts import SheetFacts


def limits_of(connection: Connection) -> PowerLimits:
    """For how long this shop takes a power state, and a look at the propellers."""
    minutes = people.minutes(connection)
    return PowerLimits(power=minutes.power, props=minutes.props)


def situation(
    ticket: Worked, power: PowerNow, facts: SheetFacts | None, steps: Iterable[StepStatus]
) -> Situation:
    """The ticket with what is connected, what its map's rules say, and how its card stands."""
    return Situation(
        ticket.number,
        ticket.state,
        ticket.hold_reason,
        power,
        facts.findings if facts else None,
        ref_to(due) if (due := first_power(steps)) else None,
    )


def step_task(standing: StepStatus) -> Task:
    """To record a step."""
    step = standing.step
    return Task(f"Step {step.number}", step.states, standing.waits_for, step.key == FIRST_POWER)


def check_task(check: Check) -> Task:
    """To answer a check of the fault finder."""
    return Task("This check", check.states, reads_current=check.reads_current)


def ref_to(standing: StepStatus) -> StepRef:
    """Which step, by key and number."""
    return StepRef(standing.step.key, standing.step.number)


def obey(blocked: Blocked | None) -> None:
    """Raise Locked with what the gate says."""
    if blocked is not None:
        raise Locked(blocked.says, blocked.do)
