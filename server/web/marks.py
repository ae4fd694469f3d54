"""The marks and small signs of a page as inline SVG. Each differs by shape; colour comes last, from
static/css/marks.css. All are hidden from those who listen: a word always stands beside them.
"""

from markupsafe import Markup

from server.trade.finding import Severity

_SQUARE = '<path d="M4 4h18v18H4z"/>'
_BROKEN = '<path d="M4 4h18v18H4z" stroke-dasharray="4 2.5"/>'
_STEPS = {
    "todo": _SQUARE,
    "done": _SQUARE + '<path d="M7.5 12.5l4.5 5 9-12" stroke-width="3"/>',
    "out": '<path class="solid" d="M3 3h20v20H3z"/><path class="on" d="M8.5 8.5l9 9m0-9l-9 9"/>',
    "stale": '<path d="M13 1.5L24.5 13 13 24.5 1.5 13z"/>',
    "locked": _BROKEN + '<path d="M8 13h10" stroke-width="3"/>',
    "unsent": _BROKEN
    + '<path d="M7.5 12.5l4.5 5 9-12" stroke-width="3" stroke-dasharray="3.5 2"/>',
}
_TICKETS = {
    "waiting": _SQUARE,
    "on the bench": _SQUARE + '<path class="solid" d="M4 13h18v9H4z"/>',
    "held": _SQUARE + '<path d="M10.5 8.5v9m5-9v9" stroke-width="2.5"/>',
    "to sign": _SQUARE + '<path d="M7 15c2-6 3.5-6 4 0s2 2 3-2 2 4 5 0"/>',
    "ready": _SQUARE + '<path d="M8 13l3.5 4L19 8.5" stroke-width="2.5"/>',
    "collected": '<path class="solid" d="M4 4h18v18H4z"/>',
    "returned as is": '<path d="M13 4H4v18h18v-9"/><path d="M12 14L23 3m-7 0h7v7"/>',
}
_FINDINGS = {
    Severity.STOP: '<path class="solid" d="M10 2h12l8 8v12l-8 8H10l-8-8V10z"/>',
    Severity.CAUTION: '<path d="M16 3.5L30 28.5H2z"/>',
    Severity.NOTE: '<circle cx="16" cy="16" r="12"/>',
}
_DISCS = '<circle cx="11.5" cy="11.5" r="3"/><circle cx="20.5" cy="11.5" r="3"/>'
_TURN = '<path d="M9.5 25.5a11 11 0 1 1 13 0"/>'
# Drawn for this shop on a grid of 32 units, the pads' as in the port diagram.
_SIGNS = {
    "mark": '<path d="M7 2.5h18.5l4 4V25l-4.5 4.5H6.5l-4-4V7z"/>' + _DISCS
    + '<circle cx="11.5" cy="20.5" r="3"/><circle class="solid" cx="20.5" cy="20.5" r="3"/>',
    "menu": '<path d="M4 9h24M4 16h24M4 23h24"/>',
    "find": '<path d="M3 10V4h6m14 0h6v6m0 12v6h-6M9 28H3v-6M9 10v12m5-12v12m4-12v12m5-12v12"/>',
    "hazard": '<path class="solid" d="M16 3l14.5 26h-29z"/>'
    '<path class="cut" d="M16 12v8m0 3v3" stroke-width="3"/>',
    "print": '<path d="M9 12V3h14v9M9 23H4V12h24v11h-5M9 19h14v10H9z"/>',
    "back": '<path d="M11 5l-7 7 7 7M4 12h15a8 8 0 0 1 0 15h-6"/>',
    "photo": '<path d="M3 9h7l2-4h8l2 4h7v18H3z"/><circle cx="16" cy="17.5" r="5.5"/>',
    "nose": '<path class="solid" d="M16 3l12 26-12-6-12 6z"/>',
    "clockwise": _TURN + '<path class="solid" d="M26.5 19.5l.5 10-9.5-1.5z"/>',
    "counter-clockwise": _TURN + '<path class="solid" d="M5.5 19.5L5 29.5l9.5-1.5z"/>',
    "talks": '<path class="solid" d="M3 8h17l9 8-9 8H3z"/>',
    "listens": '<path d="M3 8h26l-9 8 9 8H3z"/>',
    "both ways": '<path d="M3 8h17l9 8-9 8H3z"/>',
    "power": '<path d="M6 6h20v20H6zM16 11v10m-5-5h10"/>',
    "ground": '<path d="M6 6h20v20H6zM10 12h12m-10 4.5h8m-6 4.5h4"/>',
    "motor": '<circle cx="16" cy="16" r="10"/>',
    "other": '<rect x="3" y="9" width="26" height="14" rx="7"/>',
}  # fmt: skip


def _svg(names: str, size: int, body: str) -> Markup:
    return Markup(
        f'<svg class="{names}" viewBox="0 0 {size} {size}" fill="none" stroke="currentColor" '
        f'stroke-width="2" aria-hidden="true" focusable="false">{body}</svg>'
    )


def _number(number: int, y: float) -> str:
    size = 13 if number < 100 else 10
    return (
        f'<text class="in" x="50%" y="{y}" font-size="{size}" font-weight="600" '
        f'text-anchor="middle" stroke="none">{int(number)}</text>'
    )


def step_mark(state: str, revision: int | None = None) -> Markup:
    """The mark of a step's state; a stale one holds the map revision that made it so."""
    number = "" if revision is None or state != "stale" else _number(revision, 17.5)
    return _svg(f"mark mark-{state}", 26, _STEPS[state] + number)


def finding_mark(severity: str, number: int) -> Markup:
    """Octagon, triangle or circle with the finding's number."""
    kind = Severity(severity)
    lower = 25 if kind is Severity.CAUTION else 20.5
    return _svg(f"mark mark-{kind}", 32, _FINDINGS[kind] + _number(number, lower))


def ticket_mark(state: str) -> Markup:
    """The square of a ticket's state."""
    return _svg("mark", 26, _TICKETS[state])


def power_bars(filled: int) -> Markup:
    """Three bars of rising height, the first `filled` of them solid."""
    places = ((2, 26), (17, 16), (32, 4))
    bars = "".join(
        f'<rect class="{"solid" if i < filled else "open"}" x="{x}" y="{y}" width="11" '
        f'height="{38 - y}"/>'
        for i, (x, y) in enumerate(places)
    )
    return Markup(
        f'<svg class="bars" viewBox="0 0 46 40" fill="none" stroke="currentColor" stroke-width="2" '
        f'aria-hidden="true" focusable="false">{bars}</svg>'
    )


def icon(name: str) -> Markup:
    """One of the small signs. Raises KeyError for a name that there is none for."""
    return _svg(f"icon icon-{name.replace(' ', '-')}", 32, _SIGNS[name])


MARKS = {f.__name__: f for f in (step_mark, finding_mark, ticket_mark, power_bars, icon)}
