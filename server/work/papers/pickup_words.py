"""What a pickup sheet says was wrong, was done and was seen, from the records alone."""

from collections.abc import Iterator, Mapping, Sequence

from server.drawing.craft.motors import craft_from_above
from server.drawing.radio.arm_switch import arm_switch
from server.printing.sheets.base import Drawing
from server.printing.sheets.pickup_sheet import Tested
from server.records.builds import RevisionRow
from server.trade.card import Results
from server.trade.card.kinds.channels import ChannelReadings
from server.trade.card.kinds.spins import Taps
from server.trade.card.kinds.switch import Switch, SwitchReadings, armed_range
from server.trade.card.kinds.value import Measured, Value
from server.trade.card.text import plain
from server.trade.motors.corners import CORNERS, PLANS, TURNS
from server.trade.radio.ends import HIGH_REACHED, LOW_REACHED
from server.trade.sheet import Sheet
from server.trade.wiring.portmap import BOTH, port_map
from server.trade.written import span, unit
from server.work.bench.log_document import Record
from server.work.bench.step_status import StepStatus, answers
from server.work.port_map.facts import facts_of
from server.work.ticket.account import Account

ARM, SPINS, LAST_SPINS = "switches/arm", "motors/spins", "check/spins"
BLADES = {
    "props-in": "Props-in: at the front the blades turn in, towards the nose.",
    "props-out": "Props-out: at the front the blades turn out, away from the nose.",
}
READ_BACK = {
    "ports/stuck": "Ports set, and read back after a restart.",
    "motors/stuck": "Motor settings set, and read back after a restart.",
}  # what each of these steps proves
NAMES = {
    ("motors/first-power", "amps"): "First power",
    ("battery/volts", "meter"): "Battery, meter",
    ("battery/volts", "shown"): "Battery, craft",
}


def recorded(record: Record) -> Results:
    """The answer in force of every step that is done."""
    return answers(s for s in record.work.steps if s.done)


def was_wrong(account: Account, record: Record) -> tuple[str, ...]:
    """Symptoms, the customer's own words, and what the first map was found with."""
    own = (f"“{account.head.own_words}”",) if account.head.own_words else ()
    first = facts_of(record.revisions[0].sheet)
    return (*account.trouble, *own, *(f.says for f in (*first.stops, *first.cautions)))


def was_done(record: Record, words: str) -> tuple[str, ...]:
    """Leads moved since the first map, settings read back, and the technician's own words."""
    done = {s.step.key for s in record.work.steps if s.done}
    read_back = (says for key, says in READ_BACK.items() if key in done)
    kept = (f"Old settings kept as a file: {a.name}." for a in record.attached)
    return (*filter(None, (words,)), *moved(record.revisions), *read_back, *kept)


def moved(revisions: Sequence[RevisionRow]) -> Iterator[str]:
    """A line for each lead whose pad is another one than on the first map."""
    first, last = (_places(facts_of(r.sheet).sheet) for r in (revisions[0], revisions[-1]))
    for (device, lead), pads in last.items():
        before = first.get((device, lead))
        if before is None:
            yield f"{_named(device)}: {lead} put on {pads}."
        elif before != pads:
            yield f"{_named(device)}: {lead} moved from {before} to {pads}."
    yield from (
        f"{_named(d)}: {lead} taken off {pads}."
        for (d, lead), pads in first.items()
        if (d, lead) not in last
    )


def _named(device: str) -> str:
    return device[:1].upper() + device[1:]


def _places(sheet: Sheet) -> dict[tuple[str, str], str]:
    places: dict[tuple[str, str], str] = {}
    for wire in sheet.wires:
        key = (wire.device, wire.lead)
        places[key] = f"{places[key]} and {wire.pad}" if key in places else wire.pad
    for channel, pad in sheet.esc.outputs.items():
        places[("ESC", f"channel {channel}")] = pad
    return places


def radio(sheet: Sheet) -> str:
    """'CRSF on UART1'."""
    for row in port_map(sheet):
        if row.role and "receiver" in row.role.split(BOTH):
            return f"{row.protocol or 'not set'} on {row.port}"
    return "not on a port"


def motors(record: Record, given: Results) -> Drawing:
    """The four corners with the turns that were seen last."""
    seen = _seen(given)
    found: dict[str, str | None] = {corner: turn for corner, (_, turn) in seen.items()}
    labels = {corner: f"output {output}" for corner, (output, _) in seen.items()}
    wanted = {} if seen else PLANS[record.work.facts.sheet.craft.props]
    svg = craft_from_above(wanted, found, labels, colour=False)
    says = "; ".join(f"{c} {TURNS[t]}" for c, t in found.items() if t) or "not spun"
    return Drawing(svg, f"The craft seen from above, nose up: {says}")


def _seen(given: Results) -> dict[str, tuple[str, str]]:
    """By corner the output that turned it, and which way."""
    taps = given.at(LAST_SPINS, Taps) or given.at(SPINS, Taps) or Taps({})
    return {t.corner: (str(t.output), t.turn) for t in taps.by_output.values() if t.turned}


def corners(record: Record) -> tuple[str, ...]:
    """A line for each direction, as planned: 'FL and RR: clockwise.'"""
    plan = PLANS[record.work.facts.sheet.craft.props]
    return tuple(
        f"{' and '.join(c for c in CORNERS if plan[c] == turn)}: {word}."
        for turn, word in TURNS.items()
    )


def arming(given: Results) -> tuple[Drawing, str]:
    """The arm switch at its armed position, with the range that its readings give."""
    read = given.at(ARM, SwitchReadings)
    if read is None:
        return Drawing(_NO_SWITCH, "No reading of the arm switch"), "The arm switch was not read."
    arms = armed_range(Switch(), read)
    words = arms.words if arms else ""
    svg = arm_switch(read.rest, read.armed, read.middle, words, colour=False)
    says = "The heavy lever is the armed position; no other switch arms."
    says += f" It arms at {words}." if words else ""
    if read.radio_off is not None:
        says += f" With the radio off it reads {unit(read.radio_off, 'µs')} and does not arm."
    return Drawing(svg, "The arm switch at its armed position, and its arming range"), says


_NO_SWITCH = (
    '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 360 20"><path d="M8 10H352"'
    ' stroke="#000" stroke-width="1.5"/></svg>'
)


def tested(record: Record, given: Results) -> tuple[Tested, ...]:
    """First power, the throttle's ends, the battery by meter and craft, and the count of steps."""
    by_key = {s.step.key: s for s in record.work.steps}
    rows = [
        *_values(by_key, given, "motors/first-power"),
        *_throttle(given),
        *_values(by_key, given, "battery/volts"),
    ]
    done = sum(s.done for s in record.work.steps)
    return (*rows, Tested("Steps", f"{done} of {len(by_key)}", ""))


def _values(by_key: Mapping[str, StepStatus], given: Results, key: str) -> Iterator[Tested]:
    measured = given.at(key, Measured)
    spec = by_key[key].step.evidence if key in by_key else None
    if measured is None or not isinstance(spec, Value):
        return
    for field in (field for field in spec.fields if field.name in measured.values):
        name = NAMES.get((key, field.name), field.label)
        limits = span(field.low, field.high, field.unit) if field.low and field.high else ""
        if field.near:
            limits = f"within {unit(field.near.by, field.unit)} or {unit(field.near.percent, '%')}"
        yield Tested(name, unit(measured.values[field.name], field.unit), limits)


def _throttle(given: Results) -> Iterator[Tested]:
    ends = given.at("radio/ends", ChannelReadings)
    if ends and (read := ends.read.get("throttle")):
        limits = f"up to {unit(LOW_REACHED[1], 'µs')}, from {unit(HIGH_REACHED[0], 'µs')}"
        yield Tested("Throttle", unit(f"{plain(read['low'])}, {plain(read['high'])}", "µs"), limits)
