"""What the floor is given for nothing: everything of our pages that no row of the database fills.

A floor that draws less than the page would flatter nobody but itself. It sends as many bytes as we
do: the page's head, side and foot as literals, and the rows by a loop in one template. What we work
out (which step is due, what is open, what a person may do) it gets for nothing as well.
"""

import re
from dataclasses import dataclass
from html import unescape
from json import dumps, loads
from pathlib import Path

FILE = "floor-frames.json"
_LINE = re.compile(r'<li class="line".*?</li>', re.S)
_STEP = re.compile(r"<tbody.*?</tbody>", re.S)
_STAGE = re.compile(r'<details class="stage card" id="stage-level".*?</details>', re.S)


@dataclass(frozen=True)
class Frames:
    """Literals: before and after the rows of a page. `steps` are key, number, title and target of
    every row of the card, `marks` the drawing of each state."""

    queue: tuple[str, str]
    card: tuple[str, str]
    steps: tuple[tuple[str, str, str, str], ...]
    marks: dict[str, str]
    tick: tuple[str, str]

    def write(self, folder: Path) -> None:
        """Keep them for the floor's process."""
        (folder / FILE).write_text(dumps(self.__dict__))


def read(folder: Path) -> Frames:
    """What `write` kept."""
    return Frames(**loads((folder / FILE).read_text()))


def cut(queue: str, card: str, ticked: str) -> Frames:
    """The frames of our queue, our card, and our answer to a tick by htmx."""
    rows = [_step(row) for row in _STEP.findall(card)]
    return Frames(
        queue=_around(_LINE, queue),
        card=_around(_STEP, card),
        steps=tuple(row[:4] for row in rows),
        marks={state: mark for *_, state, mark in rows} | _states(queue),
        tick=_around(_STAGE, ticked),
    )


def _around(rows: re.Pattern[str], page: str) -> tuple[str, str]:
    """What comes before the first row and after the last; headings between rows are left out."""
    found = list(rows.finditer(page))
    return page[: found[0].start()], page[found[-1].end() :]


def _step(row: str) -> tuple[str, str, str, str, str, str]:
    def one(pattern: str) -> str:
        found = re.search(pattern, row, re.S)
        return unescape(re.sub("<.*?>", "", found[1])).strip() if found else ""

    mark = re.search(r"<svg.*?</svg>", row, re.S)
    return (
        one('id="step-(.*?)"'),
        one('class="step-no">(.*?)<svg'),
        one("<b>(.*?)</b>"),
        one('data-label="Target">(.*?)</td>'),
        one('data-state="(.*?)"'),
        mark[0] if mark else "",
    )


def _states(queue: str) -> dict[str, str]:
    return {
        state.casefold(): mark
        for mark, state in re.findall(r'<p class="state">(<svg.*?</svg>)<b>(.*?)</b>', queue, re.S)
    }
