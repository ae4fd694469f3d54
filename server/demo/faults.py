"""Searches for a fault, as the demo's technicians make them: what is wrong, a check, the cause."""

from server.demo.bench import GENTLE, connect
from server.trade.fault_finder import TABLE
from server.trade.power import Power
from server.work.bench import faults
from server.work.shop import Person, Shop


def look_for(shop: Shop, by: Person, number: int, told: str) -> None:
    """`told` is a symptom, a check, its outcome and the cause found; a search still open has none.

    Nothing is looked for where it is empty.
    """
    if not told:
        return
    symptom, check, outcome, *found = told.split()
    key = f"demo-fault-{number}"
    faults.begin(shop, by, number, symptoms=[symptom], act_key=f"{key}-begun")
    connect(shop, by, number, next(s for s in GENTLE if s in TABLE.checks[check].states))
    faults.answer(shop, by, number, check=check, outcome=outcome, act_key=f"{key}-answered")
    connect(shop, by, number, Power.COLD)
    for cause in found:
        faults.found(shop, by, number, cause=cause, check=check, act_key=f"{key}-found")
