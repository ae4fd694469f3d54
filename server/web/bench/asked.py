"""What sent somebody to the power page: a step, or a check of the fault finder."""

from dataclasses import dataclass
from urllib.parse import quote

from server.trade.fault_finder import TABLE
from server.trade.gate import states_now
from server.trade.power import Power
from server.web.bench.state import CHECK, BenchState
from server.work.bench.situation import check_task, step_task


@dataclass(frozen=True)
class PowerRequest:
    """What is wanted of the power, in which states it is done, and the page to go back to."""

    says: str
    states: frozenset[Power]
    href: str


def asked_by(look: BenchState, key: str) -> PowerRequest | None:
    """What `key` names: a step of the card, or CHECK with a check's code; None for neither."""
    check = TABLE.checks.get(key.removeprefix(CHECK)) if key.startswith(CHECK) else None
    if check is not None:
        states = states_now(check_task(check), look.situation.first_power) or check.states
        says = f"The check ‘{check.asks}’ is done on {_either(states)}."
        return PowerRequest(says, states, f"{look.address}/faults?check={quote(check.code)}")
    for standing in look.steps:
        step = standing.step
        if step.key == key:
            states = states_now(step_task(standing), look.situation.first_power) or step.states
            says = f"Step {step.number}, {step.title}, is done on {_either(states)}."
            return PowerRequest(says, states, look.step_address(key))
    return None


def _either(states: frozenset[Power]) -> str:
    return " or ".join(str(s) for s in Power if s in states)
