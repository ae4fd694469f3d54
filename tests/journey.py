"""The whole job as three people do it, page by page, each form filled in as it really stands."""

import re
from dataclasses import dataclass, field
from typing import Any

from server.records.engine import reading
from server.trade.card import Step, example
from server.trade.power import Power
from server.work.bench.progress import work_of
from server.work.shop import Shop
from tests import make
from tests.web.client import Browser, Filled, Page

LEAD = {
    "shop_name": "Sandpiper Bench",
    "name": "Sunniva Oake",
    "initials": "SO",
    "sign_in": "sunniva",
    "password": make.PASSWORD,
}
CODE = re.compile(r"\b(?:[0-9A-Z]{4}-){2}[0-9A-Z]{4}\b")
PLUG = {Power.USB: "plug-usb", Power.LIMITED: "plug-limiter", Power.BATTERY: "plug-battery"}
GENTLE = (Power.COLD, Power.USB, Power.LIMITED, Power.BATTERY)
# Two outputs exchanged and one motor turning the wrong way, as seen at the first spin.
CROSSED = [("1", "FL cw"), ("2", "RL ccw"), ("3", "RR cw"), ("4", "FR cw")]


def code_on(text: str) -> str:
    """The one-time code that a page shows."""
    (code,) = CODE.findall(text)
    return code


@dataclass
class Seat:
    """One person at one browser."""

    browser: Browser

    def get(self, url: str) -> Page:
        """A page that is there."""
        page = self.browser.get(url)
        assert page.status == 200, (url, page.status, page.text[:2000])
        return page

    def send(self, page: Page, action: str, button: str = "", **typed: Any) -> Page:
        """Fill in the form of `page` that goes to `action`, and send it."""
        form = self._form(page, action, button, typed.get("act"))
        data = dict(form.fields) | typed
        unknown = typed.keys() - form.names - {b[0] for b in form.buttons}
        assert not unknown, f"{action} asks no {unknown}"
        answer = self.browser.post(form.action, data)
        assert answer.status == 200, (action, answer.status, _said(answer))
        return answer

    @staticmethod
    def _form(page: Page, action: str, button: str, act: str | None) -> Filled:
        """The form; where several go to one address, the one that holds this act."""
        if act is None:
            return page.form(action, button)
        return next(f for f in page.forms if f.action.endswith(action) and _acts(f) == act)

    def load(self, page: Page, action: str, name: str, file: tuple[str, bytes]) -> Page:
        """Send a file by the form of `page` that goes to `action`."""
        form = page.form(action)
        assert name in form.files
        answer = self.browser.post(form.action, dict(form.fields), files={name: file})
        assert answer.status == 200, (action, answer.status, _said(answer))
        return answer


def posted(step: Step, answer: dict[str, Any]) -> dict[str, str]:
    """An answer as the step's form sends it."""
    match step.evidence.kind:
        case "choice":
            return {"choice": answer["choice"]}
        case "value":
            if "instead" in answer:
                return {"instead": answer["instead"]}
            return {f"values[{name}]": text for name, text in answer["values"].items()}
        case "order":
            return {f"table[{n}]": corner for n, corner in answer["table"].items()}
        case "spins":
            return {"output": str(answer["output"]), "tap": f"{answer['corner']} {answer['turn']}"}
        case "faces":
            return {f"face[{pose}]": face for pose, face in answer.items()}
        case "sticks":
            return {"stick": answer["stick"], "tap": f"{answer['moved']} {answer['way']}"}
        case "channels":
            name = answer["channel"]
            return {f"{place}[{name}]": answer[place] for place in ("low", "centre", "high")}
        case "rest":
            rows = answer["channels"]
            return {f"{end}[{row['channel']}]": row[end] for row in rows for end in ("low", "high")}
        case "loss":
            seen = {f"did[{name}]": what for name, what in answer["channels"].items()}
            return {"report": answer["report"], **seen}
        case "others":
            row = answer["others"][0]
            return {
                "channel": answer["channel"],
                "does[1]": row["does"],
                "on[1]": row["channel"],
                "low[1]": row["low"],
                "high[1]": row["high"],
            }
        case "switch" | "file" | "cells":
            return answer
    return {}


@dataclass
class Bench:
    """A technician working a card through by its pages."""

    shop: Shop
    seat: Seat
    number: int
    power: Power = Power.COLD
    seen: list[str] = field(default_factory=list)

    def work(self, *, until: str | None = None) -> None:
        """Do every step that is open, in the order of the card, and unplug."""
        for step in self.open_steps():
            if step.key == until:
                break
            self.power_for(step)
            for answer in example(step):
                self.record(step, posted(step, answer))
        self.connect(Power.COLD)

    def open_steps(self) -> list[Step]:
        """The steps that are not done."""
        head = make.head(self.shop, self.number)
        with reading(self.shop.engine) as connection:
            work = work_of(connection, head)
        assert work is not None
        return [s.step for s in work.steps if not s.done]

    def step(self, key: str) -> Step:
        """One step of the card."""
        return next(step for step in self.open_steps() if step.key == key)

    def record(self, step: Step, typed: dict[str, str]) -> Page:
        """Open the step, and send its form."""
        query = self._round_again(step, typed)
        page = self.seat.get(f"/tickets/{self.number}/steps/{step.key}{query}")
        self.seen.append(step.key)
        sent_to = "file" if step.evidence.kind in ("file", "photo") else "evidence"
        return self.seat.send(page, f"/steps/{step.key}/{sent_to}", **typed)

    def _round_again(self, step: Step, typed: dict[str, str]) -> str:
        """All four spun anew, where they were spun before."""
        if step.evidence.kind != "spins" or self.seen.count(step.key) < 4:
            return ""
        outputs = [str(n) for n in step.evidence.outputs]  # type: ignore[attr-defined]  # Spins
        to_come = outputs[outputs.index(typed["output"]) + 1 :]
        return f"?output={typed['output']}&again={','.join(to_come)}"

    def power_for(self, step: Step) -> None:
        """Connect what the step needs, where something else is connected."""
        if self.power not in step.states:
            self.connect(next(state for state in GENTLE if state in step.states))

    def connect(self, to: Power) -> None:
        """By the power page: unplug first, then answer the propeller question."""
        url = f"/tickets/{self.number}/power"
        if self.power is not Power.COLD:
            self._press(url, act="unplug")
        if to is not Power.COLD:
            battery = to in (Power.LIMITED, Power.BATTERY)
            self._press(url, act=PLUG[to], **({"propellers": "0"} if battery else {}))
        self.power = to
        assert make.head(self.shop, self.number).power == to

    def _press(self, url: str, **typed: str) -> None:
        self.seat.send(self.seat.get(url), "/power", act=typed.pop("act"), **typed)


def _acts(form: Filled) -> str:
    return dict(form.fields).get("act") or next((b[1] for b in form.buttons if b[0] == "act"), "")


def _said(page: Page) -> str:
    """What an error page says, without its markup."""
    from bs4 import BeautifulSoup

    return BeautifulSoup(page.text, "html.parser").get_text(" ", strip=True)[:1500]
