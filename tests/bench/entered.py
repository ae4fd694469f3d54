"""The files that one tick enters: `python -m tests.bench.entered`.

A technician ticks a step with the power it wants, through the real app; every call into server/
is watched. Printed are the files that the step's key is handed to, in the order in which it first
comes by, and how many files were entered in all, drawing the answer included.
"""

import sys
import tempfile
import threading
from pathlib import Path
from types import FrameType

from server.trade.power import Act
from server.work.shop import Shop
from tests import databases, make
from tests.architecture.sources import ROOT, SERVER
from tests.web.bench.at_the_bench import ready
from tests.web.client import Browser

STEP = "level/flat"


class Walk:
    """Which files were entered, and which of them were handed `key`."""

    def __init__(self, key: str) -> None:
        self.key = key
        self.handed: list[Path] = []
        self.entered: set[Path] = set()

    def __call__(self, frame: FrameType, event: str, _: object) -> None:
        path = Path(frame.f_code.co_filename)
        if event != "call" or not path.is_relative_to(SERVER):
            return
        self.entered.add(path)
        names = frame.f_code.co_varnames[
            : frame.f_code.co_argcount + frame.f_code.co_kwonlyargcount
        ]
        if path not in self.handed and any(frame.f_locals.get(name) == self.key for name in names):
            self.handed.append(path)


def walked(folder: Path) -> Walk:
    """One tick in a shop of its own under `folder`."""
    shop = Shop(
        databases.fresh_sqlite(folder), folder / "files", now=make.Clock(), quick_phrases=True
    )
    lead = make.lead(shop)
    kit = make.staff(shop, lead, "Kit Thorne")
    browser = Browser(shop).sign_in("Kit Thorne")
    number = ready(shop, kit, STEP, Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    walk = Walk(STEP)
    threading.setprofile(walk)
    sys.setprofile(walk)
    try:
        answer = browser.submit(form, "Record: level set")
    finally:
        sys.setprofile(None)
        threading.setprofile(None)  # type: ignore[arg-type]  # None ends it
    assert answer.status == 200
    return walk


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        walk = walked(Path(folder))
    for path in walk.handed:
        print(path.relative_to(ROOT))
    print(f"\n{len(walk.handed)} files are handed the step's key; {len(walk.entered)} are entered.")


if __name__ == "__main__":
    main()
