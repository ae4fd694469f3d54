"""What sent somebody to the power page: a step, or a check of the fault finder."""

from dataclasses import dataclass
from urllib.parse import quote

from server.trade.fault_finder import TABLE
from server.trade.power import Power, states_now
from server.web.bench.state import Look
from server.work.bench.step_status import first_power_before

CHECK = "faults/"  # before a check's code, where a step's key may stand; no stage is called so


@dataclass(frozen=True)
class Asked:
    """What is wanted of the power, in which states it is done, and the page to go back to."""

    says: str
    states: frozenset[Power]
    href: str


def asked_by(look: Look, key: str) -> Asked | None:
    """What `key` names: a step of the card, or CHECK with a check's code; None for neither."""
    check = TABLE.checks.get(key.removeprefix(CHECK)) if key.startswith(CHECK) else None
    if check is not None:
        states = states_now(check.states, look.first_before(check)) or check.states
        says = f"The check ‘{check.asks}’ is done on {_either(states)}."
        return Asked(says, states, f"{look.address}/faults?check={quote(check.code)}")
    for standing in look.steps:
        step = standing.step
        if step.key == key:
            first = first_power_before(key, look.steps)
            states = states_now(step.states, first) or step.states
            says = f"Step {step.number}, {step.title}, is done on {_either(states)}."
            return Asked(says, states, look.step_address(key))
    return None


def _either(states: frozenset[Power]) -> str:
    return " or ".join(str(s) for s in Power if s in states)
