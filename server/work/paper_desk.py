"""What every paper is made with: the shop's own settings, its address, its clock, the moment."""

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from server.printing.sheets.bag_tag import Label
from server.printing.sheets.base import Paper
from server.printing.sheets.parts import Marked, PriceLine, Shop, Total, Verify
from server.records.logs import LogRow
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade.bill import Bill
from server.trade.finding import Finding
from server.trade.sheet import Sheet
from server.trade.written import Clock, money, plain
from server.work.facts import facts_of

PAPERS: dict[str, Paper] = {"a4": "a4", "us-letter": "us-letter"}
LABELS: dict[str, Label] = {"62mm": "62mm", "57x32mm": "57x32mm"}


@dataclass(frozen=True)
class PaperDesk:
    """Where papers are made. `now` is the moment of printing, `base_url` where codes lead."""

    profile: ShopRow
    base_url: str
    now: datetime

    @property
    def clock(self) -> Clock:
        """Times in the shop's zone."""
        return Clock(ZoneInfo(self.profile.zone))

    @property
    def paper(self) -> Paper:
        """The shop's paper."""
        return PAPERS[self.profile.paper]

    @property
    def shop(self) -> Shop:
        """The head of every sheet."""
        lines = tuple(filter(None, (line.strip() for line in self.profile.address.splitlines())))
        return Shop(self.profile.name, lines, self.profile.phone)

    def money(self, minor: int) -> str:
        """An amount with the shop's currency."""
        return money(minor, self.profile.currency)

    def when(self, moment: datetime | None, otherwise: str = "no date") -> str:
        """'Fri 27 Nov, 17:00'."""
        return f"{self.clock.day(moment)}, {self.clock.clock(moment)}" if moment else otherwise

    def at(self, moment: datetime) -> str:
        """'25 Nov 2026, 15:31'."""
        return f"{self.clock.date(moment)}, {self.clock.clock(moment)}"

    def ticket_url(self, head: TicketHead) -> str:
        """The ticket's own page, for who is signed in."""
        return f"{self.base_url}/tickets/{head.number}"

    def status_url(self, head: TicketHead) -> str:
        """The customer's own page."""
        return f"{self.base_url}/status/{head.status_code}"

    def verify(self, log: LogRow) -> Verify:
        """Where a log is checked."""
        return Verify(
            url=f"{self.base_url}/logs/{log.digest}", log=f"{log.number:04d}", digest=log.digest,
            fingerprint=log.fingerprint, signed_by=log.signer, signed_on=self.at(log.signed_at),
        )  # fmt: skip

    def prices(self, bill: Bill) -> tuple[PriceLine, ...]:
        """The lines of an estimate or a bill."""
        return tuple(
            PriceLine(line.says, money(line.net_minor), str(line.quantity), money(line.unit_minor))
            for line in bill.lines
        )

    def totals(self, bill: Bill, *, paid: bool = False) -> tuple[Total, ...]:
        """Sum, tax and total; with `paid` what was paid and what is left."""
        rows = [Total("Sum", money(bill.net_minor))] if len(bill.lines) > 1 else []
        if bill.tax_bp:
            rows.append(Total(f"Tax, {plain(bill.tax_bp / 100)} %", money(bill.tax_minor)))
        if bill.paid_minor or not paid:
            rows.append(Total("Total", self.money(bill.total_minor), strong=not paid))
        if paid and bill.paid_minor:
            rows.append(Total("Paid", money(-bill.paid_minor)))
        if paid:
            rows.append(Total(owed_word(bill), self.money(abs(bill.owed_minor)), strong=True))
        return tuple(rows) if bill.lines or bill.paid_minor else ()

    def to_pay(self, bill: Bill) -> str:
        """What is owed, in a few words."""
        if bill.owed_minor < 0:
            return f"{self.money(-bill.owed_minor)} to give back"
        return self.money(bill.owed_minor) if bill.owed_minor else "nothing"


def owed_word(bill: Bill) -> str:
    """What the last line of a bill is called."""
    return "To give back" if bill.owed_minor < 0 else "To pay"


def craft_line(head: TicketHead) -> str:
    """'Kittiwake, 5 in, 6S LiPo'; the name and mark alone before there is a map."""
    if head.sheet is None:
        return ", ".join(filter(None, (head.craft, head.mark)))
    sheet = facts_of(head.sheet).sheet
    size = f"{sheet.craft.size_in.normalize():f} in" if sheet.craft.size_in else ""
    pack = f"{sheet.battery.cells}S {sheet.battery.chemistry}"
    return ", ".join(filter(None, (head.craft, size, pack)))


def board_line(head: TicketHead) -> str:
    """Maker and model; a dash before there is a map."""
    return " ".join(filter(None, (head.board_maker, head.board_model))) or "–"


def device_line(sheet: Sheet, name: str) -> str:
    """A device with its model: 'receiver, Lark Nano'."""
    for device in sheet.devices:
        if device.device == name:
            made = " ".join(filter(None, (device.maker, device.model)))
            return ", ".join(filter(None, (name, made)))
    return name


def marked(finding: Finding, number: int, settled: str = "") -> Marked:
    """A finding as a sheet prints it."""
    kinds = {"stop": "stop", "caution": "caution"}
    kind = kinds.get(str(finding.severity), "note")
    return Marked(kind, str(number), finding.says, settled)  # type: ignore[arg-type]  # one of three
