"""The shape of the test log and of its file. docs/test-log.md tells it in words."""

from typing import Annotated, Any, Literal

from pydantic import Field, JsonValue, ValidationError

from server.ledger.canonical import canonical
from server.ledger.parts import (
    Digest,
    Jwk,
    LogAttachment,
    LogBoard,
    LogCraft,
    LogFinding,
    LogPart,
    LogPerson,
    LogShop,
    LogStage,
    Members,
    Moment,
    PowerEvent,
    Signer,
    Word,
    Written,
    first_fault,
    plain,
)

KIND = "quadwright test log"
VERSION = 1
STATEMENT = (
    "This log shows what was seen on the bench, and no more. It is no airworthiness approval."
)


class BadDocument(ValueError):
    """A document that is no test log; `at` is the path of the first thing wrong, `says` what."""

    def __init__(self, at: str, says: str) -> None:
        self.at, self.says = at, says
        super().__init__(f"{at}: {says}")


class TestLog(LogPart):
    """What was done to one craft, what was seen, and who saw it.

    The fields follow 14 CFR 43.9(a) as a model: description of the work (`work`), date of
    completion (`completed_at`), who did it (`done_by`), and whose signature releases it from the
    bench (`signed_by`). Part 43 does not ask for it here.
    """

    __test__ = False  # pytest takes every class named Test… that a test imports for its own

    kind: Literal["quadwright test log"]
    version: Literal[1]
    number: Annotated[int, Field(ge=1, le=10**9)]
    """Place in the shop's chain of logs, from 1, without gaps."""
    previous: Digest | None
    """Digest of log number - 1; null in the first."""
    corrects: Digest | None
    """Digest of an earlier log that this one puts right."""
    shop: LogShop
    ticket: Word
    craft: LogCraft
    board: LogBoard
    sheet: Members
    """The build sheet, as its own format has it."""
    rules_version: Word
    findings: tuple[LogFinding, ...]
    stages: tuple[LogStage, ...]
    power: tuple[PowerEvent, ...]
    attachments: tuple[LogAttachment, ...]
    work: Written
    """What was done, in words."""
    completed_at: Moment
    done_by: Annotated[tuple[LogPerson, ...], Field(min_length=1)]
    signed_by: Signer
    signed_at: Moment
    statement: Literal[
        "This log shows what was seen on the bench, and no more. It is no airworthiness approval."
    ]

    def document(self) -> dict[str, JsonValue]:
        """The log as plain JSON values, to be shown, kept and signed."""
        return plain(self)


class LogFile(LogPart):
    """A signed test log, alone in its file."""

    jws: Annotated[str, Field(pattern=r"^[A-Za-z0-9_-]+\.[A-Za-z0-9_-]+\.[A-Za-z0-9_-]{86}$")]
    """Compact JWS (RFC 7515), EdDSA; its payload is the canonical form (RFC 8785) of `log`."""
    key: Jwk
    log: TestLog


def read_document(document: Any) -> TestLog:
    """The log of plain JSON values. Raises BadDocument, or NotCanonical for no JSON at all."""
    try:
        return TestLog.model_validate_json(canonical(document))
    except ValidationError as error:
        at, says = first_fault(error)
        raise BadDocument(at or "log", says) from None


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a log's file."""
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:quadwright:test-log:1",
    }
    return head | LogFile.model_json_schema(mode="validation")
