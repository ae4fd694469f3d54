"""A technician who works through power, ticks and spins, and sends again what was not answered."""

import itertools
import json
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from server.records.engine import reading
from server.work.bench.progress import work_of
from server.work.shop import Shop
from tests import make
from tests.faults.lives import CUT_OFF, Browser

CORNERS = ("FL", "FR", "RL", "RR")


@dataclass(frozen=True)
class Sent:
    """One act with its key; `answer` is what it records, None for a change of power."""

    path: str
    fields: dict[str, object]
    answer: dict[str, Any] | None

    @property
    def key(self) -> str:
        """The form's key."""
        return str(self.fields["act_key"])


@dataclass
class Sender(threading.Thread):
    """Sends act after act until it is stopped. Nothing of it is ever sent under a second key."""

    shop: Shop
    browser: Browser
    number: int
    acknowledged: list[Sent] = field(default_factory=list)
    cut_off: set[str] = field(default_factory=set)
    refused: list[tuple[Sent, int]] = field(default_factory=list)
    ends: threading.Event = field(default_factory=threading.Event)
    at_work: threading.Event = field(default_factory=threading.Event)

    def __post_init__(self) -> None:
        super().__init__(daemon=True)
        head = make.head(self.shop, self.number)
        with reading(self.shop.engine) as connection:
            work = work_of(connection, head)
        assert work
        self.bases = {s.step.key: s.step.basis for s in work.steps}

    __hash__ = threading.Thread.__hash__

    def run(self) -> None:
        """Acts in their order; each until it is answered."""
        for act in self.acts():
            while not self._sent(act):
                if self.ends.wait(0.005):
                    return
            if self.ends.is_set():
                return

    def acts(self) -> Iterator[Sent]:
        """USB, three ticks, unplug; battery, four spins, unplug; and so on."""
        for turn in itertools.count():
            name = f"{self.number}-{turn}"
            yield self._power(f"{name}-usb", act="plug-usb")
            for step in ("ports/UART1", "ports/UART4", "level/flat"):
                yield self._evidence(f"{name}-{step}", step, {"done": True}, {})
            yield self._power(f"{name}-off", act="unplug")
            yield self._power(f"{name}-battery", act="plug-battery", propellers=0)
            for output in range(1, 5):
                corner = CORNERS[(output + turn) % 4]
                tap = {"output": output, "seen": "turned", "corner": corner, "turn": "cw"}
                sent = {"output": output, "tap": f"{corner} cw"}
                yield self._evidence(f"{name}-spin-{output}", "motors/spins", tap, sent)
            yield self._power(f"{name}-cold", act="unplug")

    def _power(self, key: str, **fields: object) -> Sent:
        return Sent(f"/tickets/{self.number}/power", {"act_key": key, **fields}, None)

    def _evidence(
        self, key: str, step: str, answer: dict[str, Any], fields: dict[str, object]
    ) -> Sent:
        carried = {"act_key": key, "basis": self.bases[step], "seen": 0}
        path = f"/tickets/{self.number}/steps/{step}/evidence"
        return Sent(path, carried | fields, answer)

    def _sent(self, act: Sent) -> bool:
        """Whether it was answered, one way or the other."""
        try:
            status, _ = self.browser.post(act.path, act.fields)
        except CUT_OFF:
            self.cut_off.add(act.key)
            return False
        if status == 303:
            self.acknowledged.append(act)
        else:
            self.refused.append((act, status))
        self.at_work.set()
        return True


def told(answer: str) -> Any:
    """A recorded answer as it was sent."""
    return json.loads(answer)
