"""Work a ticket's card through by the acts, as a technician does: step by step, power by power."""

from collections.abc import Mapping, Sequence

from server.records import tickets
from server.records.engine import reading
from server.trade.card import Step, example
from server.trade.card.answers import Answer
from server.trade.power import Act, Power
from server.work.bench import power, recording
from server.work.bench.progress import work_of
from server.work.shop import Person, Shop

PLUG = {Power.USB: Act.PLUG_USB, Power.LIMITED: Act.PLUG_LIMITER, Power.BATTERY: Act.PLUG_BATTERY}
# The gentlest source that a step allows, and the strongest last.
GENTLE = (Power.COLD, Power.USB, Power.LIMITED, Power.BATTERY)


def work_through(
    shop: Shop,
    by: Person,
    number: int,
    *,
    until: str | None = None,
    instead: Mapping[str, Sequence[Answer]] | None = None,
) -> None:
    """Record every step that is not done, in the order of the card, and unplug at the end.

    Stops before the step `until`. `instead` gives other answers for some steps.
    """
    for step in _open_steps(shop, number):
        if step.key == until:
            break
        _power_for(shop, by, number, step)
        for count, answer in enumerate((instead or {}).get(step.key) or example(step)):
            key = f"{number}:{step.key}:{step.basis}:{count}:{shop.now().isoformat()}"
            recording.record(
                shop, by, number, step.key, answer=answer, act_key=key, basis=step.basis
            )
    connect(shop, by, number, Power.COLD)


def _open_steps(shop: Shop, number: int) -> list[Step]:
    with reading(shop.engine) as connection:
        head = tickets.head(connection, number)
        work = work_of(connection, head) if head else None
    return [standing.step for standing in work.steps if not standing.done] if work else []


def _power_for(shop: Shop, by: Person, number: int, step: Step) -> None:
    now = _power(shop, number)
    if now not in step.states:
        connect(shop, by, number, next(state for state in GENTLE if state in step.states))


def _power(shop: Shop, number: int) -> Power:
    with reading(shop.engine) as connection:
        head = tickets.head(connection, number)
    return Power(head.power) if head else Power.COLD


def connect(shop: Shop, by: Person, number: int, to: Power) -> None:
    """Unplug what is on, then connect `to`; before a battery no propeller is seen."""
    if _power(shop, number) is not Power.COLD:
        power.change(shop, by, number, act=Act.UNPLUG)
    if to is not Power.COLD:
        power.change(shop, by, number, act=PLUG[to], propellers=0)
