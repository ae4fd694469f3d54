"""The serial links a build sheet may name: line, level, and which leads each one needs.

To add a protocol, add one row to `ROWS`; the sheet's vocabulary, the rules and the documentation
read this table and nothing else.
"""

from dataclasses import dataclass
from enum import StrEnum

PRACTICE = "common practice, no source"


class Need(StrEnum):
    """How badly a protocol needs one direction of its link."""

    MUST = "must"  # without it the link does not work: a stop
    SHOULD = "should"  # it works, and something is lost: a caution
    NO = "no"  # a lead for it has nothing to do


@dataclass(frozen=True, slots=True)
class SerialLink:
    """One protocol. `hear`: the board hears the device; `talk`: the board talks to it.

    `baud` is in Bd and None where no serial port is used (`PPM`); `frame` is data bits, parity and
    stop bits. With `one_wire` a single half-duplex lead does both, and `hear` and `talk` are NO.
    `lost` says what is missing without the direction that is only a SHOULD.
    """

    name: str
    baud: int | None
    frame: str
    inverted: bool
    hear: Need
    talk: Need
    one_wire: bool
    source: str
    lost: str = ""

    @property
    def line(self) -> str:
        """Rate and frame as a technician writes them, '420000 8N1'; empty without a port."""
        return "" if self.baud is None else f"{self.baud} {self.frame}"

    @property
    def level(self) -> str:
        """The idle level's name; empty where no serial port is used."""
        if self.baud is None:
            return ""
        return "inverted" if self.inverted else "upright"


MUST, SHOULD, NO = Need.MUST, Need.SHOULD, Need.NO

ROWS = (
    SerialLink(
        "CRSF",
        420000,
        "8N1",
        False,
        MUST,
        SHOULD,
        False,
        "CRSF protocol specification (crsf.md), Hardware: 8N1, not inverted, full duplex,"
        " 416666 Bd; 420000 Bd is common practice, no source, and 0.80 % off",
        "no telemetry",
    ),
    SerialLink(
        "SBUS",
        100000,
        "8E2",
        True,
        MUST,
        NO,
        False,
        "public S.BUS libraries (header constants and documentation of the Rust crate parse_sbus);"
        " its owner publishes no specification",
    ),
    SerialLink("FPORT", 115200, "8N1", True, NO, NO, True, PRACTICE),
    SerialLink(
        "IBUS",
        115200,
        "8N1",
        False,
        MUST,
        NO,
        False,
        "public i-BUS libraries with protocol notes",
    ),
    SerialLink(
        "SUMD",
        115200,
        "8N1",
        False,
        MUST,
        NO,
        False,
        "public SUMD decoder header",
    ),
    SerialLink(
        "SRXL2",
        115200,
        "8N1",
        False,
        NO,
        NO,
        True,
        "SRXL2 specification Rev K (2020-10-08), sections 5 and 6.1",
    ),
    SerialLink(
        "DSM",
        115200,
        "8N1",
        False,
        MUST,
        NO,
        False,
        "Specification for Remote Receiver Interfacing, Rev G (2019-01-22), sections 6 to 8",
    ),
    SerialLink("GHST", 420000, "8N1", False, NO, NO, True, PRACTICE),
    SerialLink(
        "PPM",
        None,
        "",
        False,
        MUST,
        NO,
        False,
        "public PPM libraries: a pulse train into a timer input, no serial port",
    ),
    SerialLink(
        "MSP",
        115200,
        "8N1",
        False,
        SHOULD,
        MUST,
        False,
        "common practice, no source; 115200 8N1 full duplex from memory",
        "the board cannot be asked for settings over this link",
    ),
    SerialLink(
        "MAVLINK",
        57600,
        "8N1",
        False,
        SHOULD,
        MUST,
        False,
        "common practice, no source; framing by the MAVLink serialization guide, from memory",
        "the board hears no commands over this link",
    ),
    SerialLink(
        "NMEA",
        115200,
        "8N1",
        False,
        MUST,
        NO,
        False,
        "common practice, no source; NMEA 0183 itself says 4800 8N1, from memory",
    ),
    SerialLink(
        "UBX",
        115200,
        "8N1",
        False,
        MUST,
        SHOULD,
        False,
        "common practice, no source; framing by the UBX interface description, from memory",
        "the board cannot set the module up",
    ),
    SerialLink("ESC-TLM", 115200, "8N1", False, MUST, NO, False, PRACTICE),
    SerialLink("VTX-4800", 4800, "8N2", False, NO, NO, True, PRACTICE),
    SerialLink("VTX-9600", 9600, "8N1", False, NO, NO, True, PRACTICE),
    SerialLink("SPORT", 57600, "8N1", True, NO, NO, True, PRACTICE),
    SerialLink("EXBUS", 125000, "8N1", False, NO, NO, True, PRACTICE),
)

SERIAL: dict[str, SerialLink] = {row.name: row for row in ROWS}

ROLES: dict[str, str] = {
    "receiver": "the pilot's radio link",
    "telemetry": "a back channel to the pilot on a wire of its own",
    "overlay": "flight data drawn on the pilot's picture",
    "video-control": "channel and power of an analogue transmitter",
    "position": "GNSS",
    "esc-telemetry": "what the ESC measures, over its own wire",
    "ground-link": "data to and from the ground",
    "other": "any other serial part",
}
