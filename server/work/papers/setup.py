"""What every paper is made with: the shop's own settings, its address, its clock, the moment."""

from dataclasses import dataclass
from datetime import datetime
from functools import partial
from zoneinfo import ZoneInfo

from server.printing.sheets.bag_tag import Label
from server.printing.sheets.base import Paper
from server.printing.sheets.parts import Marked, PriceLine, SheetHead, Total, Verify
from server.records.logs import LogRow
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade.bill import Bill
from server.trade.choices import HOW_AGREED
from server.trade.finding import Finding
from server.trade.sheet import Sheet
from server.trade.written import Clock, plain
from server.work import phones
from server.work.estimate.estimates import ApprovalStatus
from server.work.money import money
from server.work.port_map.facts import facts_of

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
    def shop(self) -> SheetHead:
        """The head of every sheet."""
        lines = tuple(filter(None, (line.strip() for line in self.profile.address.splitlines())))
        return SheetHead(self.profile.name, lines, self.profile.phone)

    def money(self, minor: int, currency: str) -> str:
        """An amount with its currency."""
        return money(minor, currency, self.profile.country)

    def amount(self, minor: int, currency: str) -> str:
        """The same where the currency stands elsewhere."""
        return money(minor, currency, self.profile.country, code=False)

    def phone(self, kept: str) -> str:
        """A telephone number as the shop's country writes it; a dash where there is none."""
        return phones.shown(kept, self.profile.country) or "–"

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
        # The page that opens shows digest and key beside its own, to be held against the paper.
        address = f"{self.base_url}/logs/{log.digest}?key={log.fingerprint.replace(' ', '')}"
        return Verify(
            url=address,
            log=f"{log.number:04d}",
            digest=log.digest,
            fingerprint=log.fingerprint,
            signed_by=log.signer,
            signed_on=self.at(log.signed_at),
        )

    def prices(self, bill: Bill) -> tuple[PriceLine, ...]:
        """The lines of an estimate or a bill."""
        return tuple(
            PriceLine(
                line.says,
                self.amount(line.net_minor, bill.currency),
                str(line.quantity),
                self.amount(line.unit_minor, bill.currency),
            )
            for line in bill.lines
        )

    def totals(self, bill: Bill, *, paid: bool = False) -> tuple[Total, ...]:
        """Sum, tax and total; with `paid` what was paid and what is left."""
        amount, whole = partial(self.amount, currency=bill.currency), bill.currency
        rows = [Total("Sum", amount(bill.net_minor))] if len(bill.lines) > 1 else []
        if bill.tax_bp:
            rows.append(Total(f"Tax, {plain(bill.tax_bp / 100)} %", amount(bill.tax_minor)))
        if bill.paid_minor or not paid:
            rows.append(Total("Total", self.money(bill.total_minor, whole), strong=not paid))
        if paid and bill.deposit_minor:
            rows.append(Total("Deposit", amount(-bill.deposit_minor)))
        if paid and (rest := bill.paid_minor - bill.deposit_minor):
            rows.append(Total("Paid", amount(-rest)))
        if paid:
            rows.append(
                Total(owed_word(bill), self.money(abs(bill.owed_minor), whole), strong=True)
            )
        return tuple(rows) if bill.lines or bill.paid_minor else ()

    def agreed(self, standing: ApprovalStatus) -> str:
        """Who agreed to the estimate as it is; empty leaves a line to sign."""
        if (said := standing.agreed) is None:
            return ""
        up_to = self.money(said.up_to_minor, said.currency)
        return f"Agreed {HOW_AGREED[said.how]} by {said.who}, {self.at(said.at)}, up to {up_to}."

    def to_pay(self, bill: Bill) -> str:
        """What is owed, in a few words."""
        if bill.owed_minor < 0:
            return f"{self.money(-bill.owed_minor, bill.currency)} to give back"
        return self.money(bill.owed_minor, bill.currency) if bill.owed_minor else "nothing"


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
