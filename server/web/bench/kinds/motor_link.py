"""The motor link's tick, with the table that its target comes from."""

from decimal import Decimal

from server.drawing.frames import Bar, frames
from server.trade.card.kinds.motor_link import MotorLinkTick
from server.trade.card.text import plain, tie
from server.trade.motors.motor_link import LOOPS, Fit, LinkRow, choose, row, table
from server.trade.tables.motor_links import FRAME_BITS, MOTOR_LINKS, REPLY_TURN_US
from server.web.bench.found import FoldedTable, Shown
from server.web.bench.kind_view import register_view
from server.web.bench.kinds.tick import ButtonView

_FASTEST = 1_000_000  # Hz; beyond it a rate is a slip of the pen, and a rule says so


@register_view
class MotorLinkView(ButtonView[MotorLinkTick]):
    name = "motor-link"

    def shown(self, spec: MotorLinkTick) -> Shown | None:
        """Every link at the craft's own loop, what is left of the period, and the choice."""
        return _link(spec)


def _link(spec: MotorLinkTick) -> Shown:
    """Every link at the craft's own loop, what is left of the period, and the choice."""
    if spec.loop_hz is None or not 1 <= spec.loop_hz <= _FASTEST:
        return Shown(_choice(spec))
    rows = table(spec.loop_hz)
    drawn = [r for r in rows if r.feedback == (spec.feedback and MOTOR_LINKS[r.link].digital)]
    period = float(1_000_000 / spec.loop_hz)
    drawing = frames([_bar(spec, r) for r in drawn], round(period, 1), "links")
    heads = ("Link", "Takes", f"Left of {period:g} µs", "Fits", "This ESC")
    loops = (*sorted({*LOOPS, spec.loop_hz}),)
    return Shown(
        _choice(spec),
        drawing,
        "Filled: what the board sends. Open: the ESC’s answer. Beside it, what is left.",
        (
            FoldedTable(
                f"Every link at {plain(spec.loop_hz)} Hz",
                heads,
                tuple(_link_row(spec, r) for r in rows),
            ),
            FoldedTable(
                "What is left at other loop rates",
                ("Link", *(f"{plain(loop)} Hz" for loop in loops)),
                tuple(_loop_row(r, loops) for r in rows),
            ),
        ),
    )


def _choice(spec: MotorLinkTick) -> str:
    chosen = choose(spec.speaks, spec.loop_hz, spec.feedback)
    if chosen.link is None:
        return tie(chosen.why)
    if spec.link in (None, chosen.link):
        return tie(f"{chosen.link}: {chosen.why[:1].lower()}{chosen.why[1:]}")
    return tie(f"The map sets {spec.link}. By the table it would be {chosen.link}: {chosen.why}")


def _bar(spec: MotorLinkTick, one: LinkRow) -> Bar:
    parts: tuple[float, ...] = (float(one.frame_us or 0),)
    rate = MOTOR_LINKS[one.link].rate
    if one.feedback and rate:
        sent = FRAME_BITS * 1000 / rate
        parts = (sent, REPLY_TURN_US, float(one.frame_us or 0) - sent - REPLY_TURN_US)
    fits = one.fit is not Fit.TOO_LONG
    return Bar(one.link, parts, _left(one), fits, one.link == spec.link)


def _left(one: LinkRow) -> str:
    if one.left_us is None:
        return "no frame"
    return "too long" if one.fit is Fit.TOO_LONG else f"{float(one.left_us):.1f} µs"


def _named(one: LinkRow) -> str:
    return f"{one.link}, feedback" if one.feedback else one.link


def _link_row(spec: MotorLinkTick, one: LinkRow) -> tuple[str, ...]:
    share = "" if one.share is None else f", {float(one.share) * 100:.1f} %"
    takes = "no frame" if one.frame_us is None else f"{float(one.frame_us):.1f} µs{share}"
    spoken = "speaks it" if one.link in spec.speaks else "–"
    return (_named(one), takes, _left(one), one.fit.value, spoken)


def _loop_row(one: LinkRow, loops: tuple[Decimal, ...]) -> tuple[str, ...]:
    at = [row(one.link, loop, one.feedback) for loop in loops]
    return (_named(one), *(f"{_left(r)}{', tight' if r.fit is Fit.TIGHT else ''}" for r in at))
