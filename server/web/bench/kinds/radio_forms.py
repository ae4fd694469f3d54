"""The forms of the radio's steps: sticks, channels, switches, the loss of the link."""

from typing import Any

from server.trade.card import BadAnswer
from server.trade.card.answers import microseconds
from server.trade.card.shared import read_others
from server.trade.card.text import plain
from server.web.bench.hidden_fields import Answer, Carried, Errors, Texts


class SticksForm(Carried):
    """One tap: 'yaw fell' where one channel moved, else what was seen."""

    stick: str = ""
    tap: str = ""


class ChannelsForm(Carried):
    """µs by channel, for each place of the stick; `channel` is the one that is read, or 'all'."""

    channel: str = ""
    low: Texts
    centre: Texts
    high: Texts


class RestForm(Carried):
    """Lowest and highest µs by channel."""

    low: Texts
    high: Texts


class LossForm(Carried):
    """What each channel did, and as a button what the board reported."""

    did: Texts
    report: str = ""


class SwitchForm(Carried):
    """µs by position; `silent`: with the radio off the channel shows nothing."""

    rest: str = ""
    armed: str = ""
    middle: str = ""
    radio_off: str = ""
    silent: bool


class OthersForm(Carried):
    """What else a switch brings on, a row each by its number; `alone`: nothing does."""

    channel: str = ""
    does: Texts
    on: Texts
    low: Texts
    high: Texts
    alone: str = ""


def sticks(_spec: Any, given: SticksForm) -> tuple[Answer, Errors]:
    moved, _, way = given.tap.partition(" ")
    return {"stick": given.stick, "moved": moved} | ({"way": way} if way else {}), {}


def channels(spec: Any, given: ChannelsForm) -> tuple[Answer, Errors]:
    rows: list[dict[str, str]] = []
    errors: Errors = {}
    places = {"low": given.low, "centre": given.centre, "high": given.high}
    one = given.channel in spec.channels
    for channel in (given.channel,) if one else spec.channels:
        row = {"channel": channel}
        for place, typed in places.items():
            row[place] = _us(typed.get(channel, ""), f"{place}[{channel}]", errors)
        rows.append(row)
    return rows[0] if one else {"channels": rows}, errors


def rest(spec: Any, given: RestForm) -> tuple[Answer, Errors]:
    """The lowest and the highest of every channel; a pair the wrong way round is named."""
    errors: Errors = {}
    rows = []
    for name in spec.channels:
        low = _us(given.low.get(name, ""), f"low[{name}]", errors)
        high = _us(given.high.get(name, ""), f"high[{name}]", errors)
        rows.append({"channel": name, "low": low, "high": high})
    return {"channels": rows}, errors


def loss(spec: Any, given: LossForm) -> tuple[Answer, Errors]:
    """What every channel did."""
    left = [name for name in spec.channels if name not in given.did]
    errors = {f"did[{name}]": f"Choose what {name} did." for name in left}
    return {"report": given.report, "channels": dict(given.did)}, errors


def switch(_spec: Any, given: SwitchForm) -> tuple[Answer, Errors]:
    errors: Errors = {}
    answer = {name: _us(getattr(given, name), name, errors) for name in ("rest", "armed")}
    if given.middle:
        answer["middle"] = _us(given.middle, "middle", errors)
    answer["radio_off"] = "none" if given.silent else _us(given.radio_off, "radio_off", errors)
    return answer, errors


def others(spec: Any, given: OthersForm) -> tuple[Answer, Errors]:
    """Rows that were left blank are passed over; a mistake is named in its own row."""
    if given.alone:
        return {"others": []}, {}
    columns = {"does": given.does, "channel": given.on, "low": given.low, "high": given.high}
    numbers = sorted({n for typed in columns.values() for n in typed if typed[n]})
    rows = [{key: typed.get(n, "") for key, typed in columns.items()} for n in numbers]
    answer: Answer = {"channel": given.channel, "others": rows}
    if not rows:
        return answer, {"does[1]": "Note what a switch brings on, or that nothing does."}
    try:
        read_others(spec, answer)
    except BadAnswer as bad:
        return answer, {_in_row(bad.field, numbers): bad.says}
    return answer, {}


def _in_row(field: str, numbers: list[str]) -> str:
    first, *rest = field.split(".")
    if first != "others" or len(rest) < 2:
        return field if first == "channel" else ""
    return f"{'on' if rest[1] == 'channel' else rest[1]}[{numbers[int(rest[0])]}]"


def _us(typed: str, name: str, errors: Errors) -> str:
    try:
        return plain(microseconds(typed, ""))
    except BadAnswer as bad:
        errors[name] = bad.says
        return typed
