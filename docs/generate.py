"""Write the pages that are made from the code: `python -m docs.generate` in the project's root.

A test compares each page with what would be written, so a changed table or rule that was not
written out here fails.
"""

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from docs.bench_card import bench_card
from docs.fault_finder import fault_finder
from docs.ticket_states import ticket_states
from server.trade.rules import RULES, Rule, check
from server.trade.sheet import SPI, Sheet
from server.trade.sheet.devices import LINK_LEADS, WIRED_DEVICE_KEYS, WIRED_LINK_KEYS
from server.trade.tables.cells import CELLS
from server.trade.tables.chips import CHIPS, FAMILIES
from server.trade.tables.kinds import KINDS
from server.trade.tables.motor_links import MOTOR_LINKS
from server.trade.tables.serial import ROLES, SERIAL, Need, SerialLink
from tests.edits import edited
from tests.trade.rules.seeded import FAULTS

HERE = Path(__file__).parent
MADE = "Made by `python -m docs.generate`; change the code, not this page."


def schema() -> str:
    """The build sheet as a JSON Schema."""
    found = _tidy(Sheet.model_json_schema())
    found["$defs"]["Pad"]["allOf"] = list(_keys_of_signals())
    for name in ("Link", "Esc"):
        found["$defs"][name]["properties"]["speaks"] |= {"minItems": 1, "uniqueItems": True}
    found["$defs"]["Link"] |= _wired_or_inside()
    found["$defs"]["Device"] |= _wired_or_built_in()
    found["$defs"]["Lead"] |= _level_of_analogue()
    found["$defs"]["Board"]["properties"]["usb_feeds"]["uniqueItems"] = True
    found["$defs"]["Port"]["properties"]["port"]["not"] = {"const": SPI}
    found["$defs"]["LinkLossPlan"]["dependentRequired"] = {"does": ["guard_s"], "guard_s": ["does"]}
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Build sheet",
        "description": (
            "What a schema cannot say is checked by the reader: names are unique in their list and"
            " printable, a pad's port and rail are listed, and so is the port that a built-in part"
            " is inside, what USB feeds is listed, no wire names a built-in part, PPM is inside no"
            " port, a range's low end is not above its high end, a burst rating is not under the"
            " rating, no key and no wire is given twice, and the whole is at most 1 MiB."
        ),
    }
    return json.dumps(head | found, indent=2, ensure_ascii=False) + "\n"


def _keys_of_signals() -> Iterator[dict[str, Any]]:
    for key, signals in (("port", ["rx", "tx"]), ("rail", ["power"]), ("output", ["motor"])):
        yield {
            "if": {"properties": {"signal": {"enum": signals}}},
            "then": {"required": [key]},
            "else": {"properties": {key: False}},
        }


def _wired_or_inside() -> dict[str, Any]:
    leads = [{"required": ["speaks", kind]} for kind in LINK_LEADS]
    return {
        "if": {"required": ["inside"]},
        "then": {
            "properties": dict.fromkeys(WIRED_LINK_KEYS, False),
            "dependentRequired": {"set_to": ["speaks"]},
            "anyOf": [{"required": ["speaks"]}, {"properties": {"inside": {"const": SPI}}}],
        },
        "else": {"anyOf": leads},
    }


def _wired_or_built_in() -> dict[str, Any]:
    wired = {"items": {"properties": {"inside": False}}}
    return {
        "if": {"required": ["built_in"]},
        "then": {
            "required": ["links"],
            "properties": {
                **dict.fromkeys(WIRED_DEVICE_KEYS, False),
                "links": {"items": {"required": ["inside"]}},
            },
        },
        "else": {"required": ["supply_v"], "properties": {"links": wired}},
    }


def _level_of_analogue() -> dict[str, Any]:
    analogue = {"properties": {"signal": {"const": "analogue"}}}
    return {"if": analogue, "else": {"properties": {"level_v": False}}}


def _tidy(value: Any) -> Any:
    """Without the titles and the null that the model library adds, and with plain defaults."""
    if isinstance(value, list):
        return [_tidy(inner) for inner in value]
    if not isinstance(value, dict):
        return value
    if "anyOf" in value and {"type": "null"} in value["anyOf"]:
        (kept,) = (choice for choice in value["anyOf"] if choice != {"type": "null"})
        return _tidy(kept)
    found = {key: _tidy(inner) for key, inner in value.items() if not _needless(key, inner)}
    if found.get("type") == "number" and "default" in found:
        found["default"] = float(found["default"])
    return found


def _needless(key: str, value: Any) -> bool:
    return (key == "title" and isinstance(value, str)) or (
        key == "description" and isinstance(value, str)
    )


def _table(heads: tuple[str, ...], rows: Iterator[tuple[str, ...]]) -> str:
    lines = [heads, tuple("---" for _ in heads), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def _needs(row: SerialLink) -> tuple[str, str]:
    if row.one_wire:
        return "one wire, half duplex", "one wire, half duplex"
    words = {Need.MUST: "yes", Need.NO: "no", Need.SHOULD: f"if not: caution, {row.lost}"}
    return words[row.hear], words[row.talk]


def tables() -> str:
    """The trade tables with their sources."""
    serial = (
        (f"`{row.name}`", row.line or "no port: a `ppm` pad", row.level, *_needs(row), row.source)
        for row in SERIAL.values()
    )
    motor = (
        (f"`{row.name}`", _us(row.name, False), _us(row.name, True), row.source)
        for row in MOTOR_LINKS.values()
    )
    families = ((f"`{row.family}`", "yes" if row.inverts else "no", row.source) for row in FAMILIES)
    chips = (
        (f"`{row.chip}`", "state machines besides" if row.machines else str(row.uarts), row.source)
        for row in CHIPS
    )
    kinds = ((f"`{kind}`", says) for kind, says in KINDS.items())
    cells = ((f"`{c.chemistry}`", f"{c.full}", f"{c.empty}", c.source) for c in CELLS.values())
    heads = ("link", "line", "level", "board must hear it", "board must talk to it", "source")
    return (
        "\n\n".join(
            [
                "# The trade tables",
                MADE,
                "'From memory' means that the source was not at hand; 'common practice, no source'"
                " that there is none.",
                "## Serial links",
                _table(heads, serial),
                "## Roles of a link",
                _table(("role", "is"), ((f"`{role}`", says) for role, says in ROLES.items())),
                "## Kinds of device",
                _table(("kind", "is"), kinds),
                "## Motor links",
                _table(("link", "frame, µs", "with its reply, µs", "source"), motor),
                "## Chips that invert a serial line",
                _table(("family", "inverts", "source"), families),
                "## Serial blocks of a chip",
                "An upper bound, low-power ones counted: the board may bring out fewer.",
                _table(("chip", "UARTs", "source"), chips),
                "## Volts of a cell",
                _table(("chemistry", "full", "empty", "source"), cells),
            ]
        )
        + "\n"
    )


def _us(name: str, feedback: bool) -> str:
    row = MOTOR_LINKS[name]
    frame = None if feedback and not row.digital else row.frame_us(feedback)
    return "–" if frame is None else f"{float(frame):.2f}"


def findings() -> str:
    """Every finding with an example of what it says."""
    head = (
        "A `stop` bars the signature, and a `caution` may be signed off with a recorded reason; a"
        " note can be told to be right, once for the board or the craft, and is then quiet. What a"
        " finding bars meanwhile: `power` nothing is connected, the USB lead included; `battery` no"
        " battery, through a limiter or not; `signing` only the signature; `nothing`."
    )
    return (
        "\n\n".join(["# Findings", MADE, head, *(_finding(RULES[c]) for c in sorted(RULES))]) + "\n"
    )


def _finding(rule: Rule) -> str:
    severity = " or ".join(str(word) for word in rule.severities)
    return "\n\n".join(
        [
            f"## {rule.code}",
            f"{severity}{_barred(rule)}. {(rule.find.__doc__ or '').strip()}",
            *_examples(rule),
        ]
    )


def _barred(rule: Rule) -> str:
    bars = " or ".join(f"`{word}`" for word in sorted(rule.bars))
    return f"; as a stop bars {bars}" if bars else ""


def _examples(rule: Rule) -> Iterator[str]:
    """The first seeded fault of each severity, alone where there is one."""
    faults = sorted(FAULTS, key=lambda fault: len(fault.found))
    for severity in rule.severities:
        fault = next(f for f in faults if (rule.code, str(severity)) in {k[:2] for k in f.found})
        shown = next(
            f for f in check(edited(*fault.edits)) if (f.code, f.severity) == (rule.code, severity)
        )
        yield f"> **{shown.subject}** · {severity}: {shown.says}\n>\n> {shown.do}"
        yield f"Source: {shown.source}."


PAGES: dict[str, Callable[[], str]] = {
    "build-sheet.schema.json": schema,
    "tables.md": tables,
    "findings.md": findings,
    "bench-card.md": bench_card,
    "fault-finder.md": fault_finder,
    "ticket-states.md": lambda: ticket_states(MADE),
}


def main() -> None:
    """Write every page beside this file."""
    for name, made in PAGES.items():
        (HERE / name).write_text(made(), encoding="utf-8")


if __name__ == "__main__":
    main()
