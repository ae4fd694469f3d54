"""The drawn marks as templates use them: text of our own drawing room, safe to print as it is."""

from collections.abc import Callable
from typing import Any

from markupsafe import Markup

from server import drawing

NAMES = ("finding_mark", "step_mark", "ticket_mark", "power_bars", "icon")


def _drawn(draw: Callable[..., str]) -> Callable[..., Markup]:
    def mark(*given: Any, **named: Any) -> Markup:
        return Markup(draw(*given, **named))

    return mark


def marks() -> dict[str, Callable[..., Markup]]:
    """Every mark by its name in a template."""
    return {name: _drawn(getattr(drawing, name, lambda *_, **__: "")) for name in NAMES}
