"""One usual and one hard case of every sheet. All shops, people and makes are invented."""

from dataclasses import replace
from datetime import UTC, datetime
from functools import cache

from server.printing.sheets.bag_tag import BagTag
from server.printing.sheets.base import Drawing, Paper, Printed
from server.printing.sheets.bench_card_sheet import BenchCardSheet, BenchStage, BenchStep
from server.printing.sheets.claim_slip import ClaimSlip
from server.printing.sheets.estimate_sheet import EstimateSheet
from server.printing.sheets.parts import (
    Marked,
    Panel,
    PortLine,
    PortMap,
    PriceLine,
    SheetHead,
    Total,
    Verify,
)
from server.printing.sheets.pickup_sheet import PickupSheet, Tested
from server.printing.sheets.port_map_sheet import PortMapSheet
from server.printing.sheets.returned_sheet import ReturnedSheet
from server.printing.sheets.test_log_sheet import EvidenceLine, PowerRow, TestLogSheet
from server.trade.card import Blank

MADE = datetime(2026, 11, 27, 15, 31, tzinfo=UTC)
URL = "https://plover.example/l/7qf29kxm"
SHOP = SheetHead(
    "Plover Street Multirotor Repair", ("12 Plover Street", "Harbour End"), "+44 20 7946 0123"
)
VERIFY = Verify(
    url=URL,
    log="0412",
    digest="5f2c 81d0 9b7e 4a63 c1f8 2e05 77ad 90b4 36ce 1d2f 8a59 e6b0 4473 fd18 0c9a b2e7",
    fingerprint="7QF2 9KXM",
    signed_by="Kit Thorne",
    signed_on="25 Nov 2026, 15:31",
)
HOSTILE = '#panic("x") *bold* _it_ $x^2$ `raw` <label> @ref \\ // [c] "q" = head {code} ~'
LONG_WORD = "Kittiwake" * 14
LONG_NAME = "Bartholomew-Ferdinand Featherstonehaugh-Cholmondeley of Upper Marshwood " * 2
MIXED = "שלום ירושלים and علي حسن 🚁👩‍🔧 Łukasz Ωμέγα Юрий 張偉"


def drawing(width: int, height: int, words: str) -> Drawing:
    """A box with `words` in it and a wire, in the drawing room's manner."""
    return Drawing(
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}">'
        f'<rect x="2" y="2" width="{width - 4}" height="{height - 4}" fill="#fff" stroke="#000"/>'
        f'<path d="M10 {height - 20}H{width - 10}" stroke="#000" stroke-dasharray="7 4"/>'
        f'<text x="12" y="26" font-family="Fira Sans Condensed, sans-serif" font-weight="600"'
        f' font-size="15">{words}</text></svg>',
        f"A drawing of {words}",
    )


PRICES = (PriceLine("Set-up, with bench test", "45.00", "1", "45.00"),)
PORTS = tuple(
    PortLine(port, device, protocol, line, hears, talks)
    for port, device, protocol, line, hears, talks in (
        ("UART1", "Receiver, Lark Nano", "CRSF", "420000 8N1", "R1 from TX", "T1 to RX"),
        ("UART2", "Position, Sedge", "UBX", "115200 8N1", "R2 from TX", "not wired"),
        ("UART4", "Video unit, Pipit", "MSP", "115200 8N1", "R4 from TX", "T4 to RX"),
        ("M1 to M4", "ESC, Millrace 45", "DShot300", "300 kbit/s", "", "FL, RR, RL, FR"),
    )
)
CAUTION = Marked(
    "caution",
    "1",
    "The position unit's RX is not wired, so the board cannot set it up.",
    "Accepted by Rhea Moss: it keeps its own set-up.",
)
PORT_MAP = PortMap("4", drawing(800, 620, "Brindle F7"), PORTS, (CAUTION,))

CLAIM = ClaimSlip(
    made=MADE,
    shop=SHOP,
    ticket="0412",
    date="Mon 23 Nov, 10:12",
    customer="Perrin Vale",
    phone="+44 20 7946 0911",
    craft="Kittiwake, 5 in, 6S LiPo",
    board="Alder & Finch Brindle F7",
    trouble=("Settings wiped after an update", "Does not arm"),
    words="Did an update on Sunday and now it will not arm.",
    handed_in=("1 battery, health good", "Radio", "4 props"),
    condition=("One arm scratched", "Battery lead re-soldered before"),
    promised="Fri 27 Nov, 17:00",
    estimate=PRICES,
    total="45.00",
    terms="We keep the craft 60 days after it is ready. Batteries found swollen are not charged.",
    status_url="https://plover.example/s/b4c9e1f07a",
)
TAG = BagTag(
    made=MADE,
    ticket="0412",
    craft="Kittiwake, 5 in",
    customer="P. Vale",
    promised="Fri 27 Nov, 17:00",
    ticket_url="https://plover.example/t/0412",
)
PICKUP = PickupSheet(
    made=MADE,
    shop=SHOP,
    ticket="0412",
    collected_by="Perrin Vale",
    collected_on="Friday 27 November 2026",
    craft="Kittiwake, 5 in, 6S LiPo",
    board="Alder & Finch Brindle F7",
    radio="CRSF on UART1",
    to_pay="48.00, card or cash",
    verify=VERIFY,
    was_wrong=(
        "An update had erased all settings.",
        "Two wires of the video unit were on each other's pads.",
    ),
    was_done=(
        "All settings put in again and read back after a restart.",
        "Video unit: TX moved to R4, RX to T4.",
        "Output 4 (front right) reversed.",
        "Throttle end points set in your radio, channel 3.",
    ),
    motors=drawing(340, 290, "FL FR RL RR"),
    props="Props-in. At the front the blades turn in, towards the nose.",
    corners=("FL and RR: clockwise.", "FR and RL: counter-clockwise.", "The raised edge leads."),
    arming=drawing(360, 111, "switch 2 of 2: ARMED"),
    arming_says="Only the left shoulder switch arms. With the radio off the motors stop.",
    tested=(
        Tested("Current at rest", "0.41 A", "0.24 to 0.48 A"),
        Tested("Throttle low, high", "1000, 2000 µs", "±5 µs"),
        Tested("Battery reading", "24.9 V", "24.8 to 25.0 V"),
        Tested("Steps", "30 of 30", ""),
    ),
    not_done=("No tuning. No flight by the shop.",),
    cautions=(CAUTION,),
    prices=PRICES,
    totals=(
        Total("Tax, 20 %", "9.00"),
        Total("Deposit paid", "−6.00"),
        Total("To pay", "48.00", True),
    ),
    handed_over_by="Ilse Brandt",
    port_map=PORT_MAP,
)
RETURNED = ReturnedSheet(
    made=MADE,
    shop=SHOP,
    ticket="0413",
    collected_by="Perrin Vale",
    collected_on="Friday 27 November 2026",
    craft="Kittiwake, 5 in, 6S LiPo",
    board="Alder & Finch Brindle F7",
    reason="The repair of the board's 5 V supply was not wanted.",
    to_pay="15.00, card or cash",
    unsafe=(
        Marked("stop", "2", "The video unit's supply lead is on a 10 V pad; it takes 5 V."),
        CAUTION,
        Marked("note", "3", "The buzzer is not fitted."),
    ),
    was_done=("Looked over and measured without power.",),
    not_done=("Ports, radio, switches and motors were not set.",),
    given_back=("1 battery", "Radio"),
    prices=(PriceLine("Looking over", "15.00"),),
    totals=(Total("To pay", "15.00", True),),
    handed_over_by="Ilse Brandt",
    status_url="https://plover.example/s/b4c9e1f07a",
)
PROPS_PANEL = Panel("WARNING", "Propellers cut. Go on only while none is on the craft.")
CARD = BenchCardSheet(
    made=MADE,
    shop=SHOP,
    ticket="0412",
    craft="Kittiwake, 5 in, 6S LiPo",
    board="Brindle F7",
    revision="4",
    promised="Fri 27 Nov, 17:00",
    technician="Kit Thorne",
    ticket_url="https://plover.example/t/0412",
    printed_on="25 Nov 2026, 13:10",
    stages=(
        BenchStage(
            "1",
            "Before power",
            (
                BenchStep(
                    "1.1",
                    "Take all four propellers off",
                    ("Put them away from the bench.",),
                    "0 propellers",
                    "",
                    "cold",
                    found="0 propellers",
                    by="KT 13:21",
                ),
            ),
        ),
        BenchStage(
            "7",
            "Motors",
            (
                BenchStep(
                    "7.3",
                    "First power: read the current at rest",
                    (
                        "Set the current limiter to 1.0 A.",
                        "Connect the battery through the limiter.",
                        "Wait 10 s, then read the current.",
                    ),
                    "0.24 to 0.48 A",
                    "sum of the parts",
                    "limited",
                    blanks=(Blank("current", unit="A"), Blank("the limiter tripped", "box")),
                    hazard=PROPS_PANEL,
                    asks_props=True,
                ),
                BenchStep(
                    "7.4",
                    "Spin the outputs one by one",
                    ("Write the corner that turned and which way, as seen from above.",),
                    "FL, RR, RL, FR",
                    "from the map",
                    "limited",
                    blanks=tuple(Blank(f"output {n}: corner, way") for n in range(1, 5)),
                ),
            ),
        ),
    ),
)
MAP = PortMapSheet(
    made=MADE, shop=SHOP, ticket="0412", craft="Kittiwake", board="Brindle F7", port_map=PORT_MAP
)
LOG = TestLogSheet(
    made=MADE,
    shop=SHOP,
    ticket="0412",
    craft="Kittiwake, 5 in, 6S LiPo",
    board="Alder & Finch Brindle F7",
    work_done=PICKUP.was_done,
    finished="25 Nov 2026, 15:31",
    rules_version="2026.11",
    previous_digest="a0" * 32,
    rows=(
        EvidenceLine(
            "1.1", "Take all four propellers off", "0", "0", "cold", "Kit Thorne", "13:21"
        ),
        EvidenceLine(
            "7.3",
            "First power: read the current at rest",
            "0.24 to 0.48 A",
            "0.41 A",
            "limited",
            "Kit Thorne",
            "14:36",
            "corrects the entry of 14:33",
        ),
    ),
    powers=(PowerRow("14:31", "limited", "0", "Kit Thorne"), PowerRow("15:01", "cold", "", "—")),
    findings=(CAUTION,),
    attachments=("old settings: " + "9c" * 32,),
    verify=VERIFY,
)
ESTIMATE = EstimateSheet(
    made=MADE,
    shop=SHOP,
    number="E-0412-1",
    ticket="0412",
    date="Mon 23 Nov 2026",
    customer="Perrin Vale",
    phone="+44 20 7946 0911",
    craft="Kittiwake, 5 in, 6S LiPo",
    lines=PRICES,
    totals=(Total("Sum", "45.00"), Total("Tax, 20 %", "9.00"), Total("Total", "54.00", True)),
    notes=("Parts at cost when they arrive.",),
)

USUAL: dict[str, Printed] = {
    "claim": CLAIM,
    "tag62": TAG,
    "tag57": replace(TAG, size="57x32mm"),
    "pickup": PICKUP,
    "returned": RETURNED,
    "card": CARD,
    "map": MAP,
    "log": LOG,
    "estimate": ESTIMATE,
}

_FIFTY = tuple(
    PriceLine(f"Line {n}: {'wire and heat-shrink ' * (n % 5 + 1)}", "1,234.50", "2", "617.25")
    for n in range(1, 51)
)
_TWELVE = tuple(
    PortLine(f"UART{n}", f"{LONG_WORD[:40]} {n}", "CRSF", "420000 8N1", f"R{n} from TX", f"T{n}")
    for n in range(1, 13)
)
_MANY = tuple(f"{n}. {LONG_NAME}" for n in range(1, 6))
_BIG_MAP = PortMap("12", drawing(800, 1400, f"{MIXED}"), _TWELVE, (CAUTION,) * 5)
_SHOP = SheetHead(f"{LONG_NAME}{LONG_WORD}", (LONG_WORD, MIXED), "+44 20 7946 0123 ext. 12345")
_WHO = f"{LONG_NAME} {MIXED}"

HARD: dict[str, Printed] = {
    "claim": replace(
        CLAIM,
        shop=_SHOP,
        customer=_WHO,
        craft=LONG_WORD,
        board=MIXED,
        words=f"{HOSTILE}\n{MIXED}\n{LONG_WORD}",
        trouble=_MANY,
        handed_in=_MANY,
        condition=_MANY,
        estimate=_FIFTY,
        terms="A long sentence of terms that nobody reads to its end. " * 60,
        status_url="https://plover.example/" + "s" * 160,
    ),
    "tag62": replace(TAG, ticket="1204127", craft=LONG_WORD, customer=MIXED, promised=LONG_NAME),
    "tag57": replace(
        TAG, size="57x32mm", ticket="1204127", craft=LONG_NAME, customer=_WHO, promised=LONG_NAME
    ),
    "pickup": replace(
        PICKUP,
        shop=_SHOP,
        ticket="1204127",
        collected_by=_WHO,
        craft=LONG_WORD,
        board=MIXED,
        radio=LONG_WORD,
        was_wrong=_MANY,
        was_done=(HOSTILE, MIXED, *_MANY),
        tested=tuple(Tested(LONG_WORD[:n], "1118 µs", "995 to 1005 µs") for n in range(9, 49, 2)),
        not_done=_MANY,
        kept_back=_MANY,
        cautions=(CAUTION,) * 5,
        prices=_FIFTY,
        port_map=_BIG_MAP,
    ),
    "returned": replace(
        RETURNED, collected_by=_WHO, craft=LONG_WORD, unsafe=RETURNED.unsafe * 15, port_map=_BIG_MAP
    ),
    "card": replace(
        CARD, craft=LONG_WORD, board=MIXED, stops=(LONG_NAME, HOSTILE), stages=CARD.stages * 4
    ),
    "map": replace(MAP, craft=_WHO, port_map=_BIG_MAP),
    "log": replace(LOG, craft=LONG_WORD, rows=LOG.rows * 25, findings=(CAUTION,) * 9),
    "estimate": replace(ESTIMATE, customer=_WHO, craft=MIXED, lines=_FIFTY, notes=_MANY),
}


@cache
def usual_pdf(name: str, paper: Paper = "a4") -> bytes:
    """The usual case, set once a test run."""
    return replace(USUAL[name], paper=paper).pdf()


@cache
def hard_pdf(name: str, paper: Paper = "a4") -> bytes:
    """The hard case, set once a test run."""
    return replace(HARD[name], paper=paper).pdf()
