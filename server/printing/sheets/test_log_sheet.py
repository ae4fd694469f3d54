"""The signed test log for reading: the file itself, not this sheet, is what verifies."""

from dataclasses import dataclass
from typing import ClassVar

from server.printing.sheets.base import Printed
from server.printing.sheets.parts import BENCH_ONLY, Marked, SheetHead, Verify


@dataclass(frozen=True)
class EvidenceLine:
    """One piece of evidence. `replaces` says which earlier entry it corrects, or is empty."""

    number: str
    title: str
    target: str
    found: str
    power: str
    by: str
    at: str
    replaces: str = ""


@dataclass(frozen=True)
class PowerRow:
    """One change of the power state and the propellers that were counted for it."""

    at: str
    state: str
    props: str
    by: str


@dataclass(frozen=True, kw_only=True)
class TestLogSheet(Printed):
    """Work done, when finished, who, whose signature: the fields that 14 CFR 43.9(a) asks for."""

    __test__: ClassVar[bool] = False  # no test case, whatever its name
    template: ClassVar[str] = "test_log_sheet"
    shop: SheetHead
    ticket: str
    craft: str
    board: str
    work_done: tuple[str, ...]
    finished: str
    rules_version: str
    previous_digest: str
    rows: tuple[EvidenceLine, ...]
    powers: tuple[PowerRow, ...]
    findings: tuple[Marked, ...]
    attachments: tuple[str, ...]
    verify: Verify
    record: str = BENCH_ONLY

    def title(self) -> str:
        return f"Test log {self.verify.log}, {self.craft}"

    def code(self) -> str:
        return self.verify.url
