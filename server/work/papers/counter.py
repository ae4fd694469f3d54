"""The counter's papers from the records: claim slip, bag tag, estimate, port map."""

from server.drawing.port_diagram.diagram import port_diagram
from server.printing.sheets.bag_tag import BagTag
from server.printing.sheets.base import Drawing
from server.printing.sheets.claim_slip import ClaimSlip
from server.printing.sheets.estimate_sheet import EstimateSheet
from server.printing.sheets.parts import Marked, PortLine, PortMap
from server.printing.sheets.port_map_sheet import PortMapSheet
from server.records.evidence import AcceptedRow
from server.trade.bill import Bill
from server.trade.choices import BATTERY_LOOKS, BatteryLook
from server.trade.sheet import Sheet
from server.trade.tables.motor_links import MOTOR_LINKS
from server.trade.wiring.portmap import PortRow, port_map
from server.work.errors import Locked
from server.work.papers.setup import LABELS, PaperDesk, board_line, craft_line, device_line, marked
from server.work.port_map.facts import SheetFacts, facts_of
from server.work.ticket.account import Account


def claim_slip(account: Account, desk: PaperDesk) -> ClaimSlip:
    """What the customer takes home."""
    head, bill = account.head, account.bill
    look = BATTERY_LOOKS[head.battery_look]
    battery = () if head.battery_look == BatteryLook.NONE else (f"Batteries: {look.lower()}",)
    return ClaimSlip(
        made=head.booked_at,
        paper=desk.paper,
        shop=desk.shop,
        ticket=f"{head.number:04d}",
        date=desk.when(head.booked_at),
        customer=head.customer,
        phone=desk.phone(head.phone),
        craft=", ".join(filter(None, (head.craft, head.mark))),
        board=board_line(head),
        trouble=account.trouble,
        words=head.own_words,
        handed_in=(*account.handed_in, *battery),
        condition=account.condition,
        promised=desk.when(head.promised_at),
        estimate=desk.prices(bill),
        total=_total(bill, desk),
        terms=account.terms,
        status_url=desk.status_url(head),
    )


def _total(bill: Bill, desk: PaperDesk) -> str:
    if not bill.lines:
        return "no estimate yet"
    total = desk.money(bill.total_minor, bill.currency)
    return f"{total} with tax" if bill.tax_bp else total


def bag_tag(account: Account, desk: PaperDesk) -> BagTag:
    """The label on the bag."""
    head = account.head
    return BagTag(
        made=head.booked_at,
        size=LABELS[desk.profile.label],
        ticket=f"{head.number:04d}",
        craft=head.craft,
        customer=head.customer,
        promised=desk.when(head.promised_at),
        ticket_url=desk.ticket_url(head),
    )


def estimate(account: Account, desk: PaperDesk) -> EstimateSheet:
    """What it may cost."""
    head, bill = account.head, account.bill
    return EstimateSheet(
        made=head.booked_at,
        paper=desk.paper,
        shop=desk.shop,
        number=f"E-{head.number:04d}",
        ticket=f"{head.number:04d}",
        date=desk.when(head.booked_at),
        customer=head.customer,
        phone=desk.phone(head.phone),
        craft=craft_line(head),
        lines=desk.prices(bill),
        totals=desk.totals(bill),
        agreed=desk.agreed(account.standing),
    )


def port_map_sheet(
    account: Account, desk: PaperDesk, accepted: tuple[AcceptedRow, ...] = ()
) -> PortMapSheet:
    """The map for the wall or the bag. Raises Locked before there is one."""
    head = account.head
    if head.sheet is None or head.saved_at is None:
        raise Locked("There is no port map yet.", "Enter and save the map first.")
    return PortMapSheet(
        made=head.saved_at,
        paper=desk.paper,
        shop=desk.shop,
        ticket=f"{head.number:04d}",
        craft=craft_line(head),
        board=board_line(head),
        port_map=map_of(facts_of(head.sheet), head.revision, accepted),
    )


def map_of(facts: SheetFacts, revision: int, accepted: tuple[AcceptedRow, ...] = ()) -> PortMap:
    """The drawing with its findings, and the same as a table."""
    sheet = facts.sheet
    svg = port_diagram(sheet, facts.findings, layout="wide", colour=False)
    alt = f"Port map of {sheet.craft.name}: which lead goes to which pad of {sheet.board.model}"
    rows = tuple(_row(row, sheet) for row in port_map(sheet))
    return PortMap(
        str(revision), Drawing(svg, alt), (*rows, _motors(sheet)), findings_of(facts, accepted)
    )


def findings_of(facts: SheetFacts, accepted: tuple[AcceptedRow, ...]) -> tuple[Marked, ...]:
    """Every finding by its number on the drawing, with how it was settled."""
    taken = {row.finding_key: f"Accepted by {row.by_name}: {row.reason}" for row in accepted}
    return tuple(
        marked(finding, number, taken.get(finding.key, ""))
        for number, finding in enumerate(facts.findings, 1)
    )


def _row(row: PortRow, sheet: Sheet) -> PortLine:
    device = row.device or (f"taken by {row.taken_by}" if row.taken_by else "free")
    hears = f"{row.hears_pad} from {row.hears_lead}" if row.hears_pad else ""
    talks = f"{row.talks_pad} to {row.talks_lead}" if row.talks_pad else ""
    return PortLine(
        row.port, device_line(sheet, device), row.protocol or "", row.line or "", hears, talks
    )


def _motors(sheet: Sheet) -> PortLine:
    link = MOTOR_LINKS.get(sheet.esc.set_to or "")
    line = f"{link.rate} kbit/s" if link and link.rate else ""
    pads = ", ".join(f"{pad} to {channel}" for channel, pad in sorted(sheet.esc.outputs.items()))
    return PortLine("Motors", "ESC", sheet.esc.set_to or "", line, "", pads)
