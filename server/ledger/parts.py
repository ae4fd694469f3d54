"""The parts of a test log. Every key is always there; what is not known is null."""

import re
from datetime import UTC, datetime
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, JsonValue, ValidationError

from server.ledger.canonical import below
from server.ledger.public import PublicKey
from server.trade.finding import Severity
from server.trade.power import Power

# What no log may claim. 'approval' is not among them: the log's own statement denies one.
CLAIMS = ("certified", "approved", "legal", "ready to fly", "airworthy")
_CLAIM = re.compile(rf"\b({'|'.join(CLAIMS)})\b", re.IGNORECASE)


def moment(at: datetime) -> str:
    """A time as the log writes it: '2030-03-01T09:14:07Z', whole seconds of UTC.

    Raises ValueError for a time without its zone.
    """
    if at.tzinfo is None:
        raise ValueError("A time in a log has its zone.")
    return at.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def _real(text: str) -> str:
    try:
        datetime.strptime(text, "%Y-%m-%dT%H:%M:%SZ")
    except ValueError:
        raise ValueError("there is no such day or time") from None
    return text


def _claims_nothing(text: str) -> str:
    claim = _CLAIM.search(text)
    if claim:
        raise ValueError(f"a log does not say '{claim[0]}'")
    return text


def _is_key(x: str) -> str:
    return PublicKey(x).x


_MOMENT = r"^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}Z$"

Word = Annotated[str, Field(min_length=1, max_length=200)]
Text = Annotated[str, Field(max_length=4000)]
Moment = Annotated[str, Field(pattern=_MOMENT), AfterValidator(_real)]
Digest = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
# 32 bytes in base64url: a thumbprint or a public key.
Kid = Annotated[str, Field(pattern=r"^[A-Za-z0-9_-]{43}$")]
Count = Annotated[int, Field(ge=0, le=10**12)]
Written = Annotated[str, Field(min_length=1, max_length=4000), AfterValidator(_claims_nothing)]
Members = dict[str, JsonValue]


class LogPart(BaseModel):
    """Base of all parts: as given, nothing guessed, nothing over."""

    model_config = ConfigDict(
        frozen=True, extra="forbid", strict=True, use_attribute_docstrings=True
    )


class LogShop(LogPart):
    """Whose bench it was."""

    name: Word
    place: Word | None


class LogCraft(LogPart):
    """The craft, without its owner."""

    name: Word
    props: Word
    """Which way round the propellers go, as in the sheet."""
    cells: Annotated[int, Field(ge=1, le=14)]


class LogBoard(LogPart):
    """The controller board, and what runs on it."""

    maker: Word | None
    model: Word
    mcu: Word
    firmware: Word | None
    target: Word | None


class Settled(LogPart):
    """How a finding was settled, by whom, why and when."""

    how: Literal["accepted", "cleared"]
    by: Word
    reason: Written
    at: Moment


class LogFinding(LogPart):
    """A finding of the sheet or of the bench; a note needs no settling."""

    code: Word
    severity: Severity
    subject: Word
    says: Text
    do: Text
    source: Text
    settled: Settled | None


class PropsOff(LogPart):
    """Who saw, for one connection, that all propellers are off, and when."""

    by: Word
    at: Moment


class Entry(LogPart):
    """One piece of evidence. None is ever taken out; a correction names the one it replaces."""

    entry: Word
    """The entry's name within this log."""
    what: Word
    """The kind of evidence, as the bench card asks for it."""
    found: Members
    """What was seen; numbers with a fraction are text, as they were typed."""
    verdict: Literal["pass", "fail", "more"]
    """`more`: sound so far, and not the whole answer yet, as one of four spins."""
    says: Text | None
    by: Word
    at: Moment
    """When it was seen, by the clock of the device it was typed on."""
    received: Moment
    """When the shop's server had it."""
    power: Power
    props_off: PropsOff | None
    """The confirmation it was made under; required in `limited` and `battery`."""
    replaces: Word | None
    stale: bool
    """True when the target changed afterwards; it then counts for nothing."""


class LogStep(LogPart):
    """A step of the bench card and all evidence given for it, oldest first."""

    key: Word
    number: Word
    title: Word
    target: Text | None
    needed: bool
    """False for a step that this craft may do without."""
    evidence: tuple[Entry, ...]


class LogStage(LogPart):
    """A stage of the bench card."""

    key: Word
    title: Word
    steps: tuple[LogStep, ...]
    seen_by: PropsOff | None
    """The second pair of eyes, where the shop asks for one."""


class PowerEvent(LogPart):
    """One line of the power history, oldest first; before the first the craft is cold."""

    event: Literal["state", "props-off", "lapsed"]
    """A change to `state`; propellers confirmed off in it; or that confirmation ended."""
    state: Power
    by: Word | None
    at: Moment
    because: Text | None


class LogAttachment(LogPart):
    """A file that evidence names; the log holds its digest (SHA-256), not the file."""

    digest: Digest
    name: Word
    kind: Word
    """Its media type."""
    bytes: Count


class LogPerson(LogPart):
    """Who did work on it."""

    name: Word
    initials: Word


class Signer(LogPart):
    """Whose signature releases it from the bench."""

    name: Word
    initials: Word
    key: Kid
    """Thumbprint (RFC 7638) of the key that signs this log."""


class Jwk(LogPart):
    """An Ed25519 public key (RFC 8037)."""

    crv: Literal["Ed25519"]
    kty: Literal["OKP"]
    x: Annotated[Kid, AfterValidator(_is_key)]

    def public(self) -> PublicKey:
        """The key itself."""
        return PublicKey(self.x)


def plain(part: BaseModel) -> dict[str, Any]:
    """The part as plain JSON values."""
    return part.model_dump(mode="json")


def first_fault(error: ValidationError) -> tuple[str, str]:
    """Path and words of the first thing that a document has wrong."""
    first = error.errors(include_url=False, include_context=False)[0]
    at = ""
    for step in first["loc"]:
        at = below(at, step)
    says = first["msg"].removeprefix("Value error, ").rstrip(".")
    return at, f"{says[:1].upper()}{says[1:]}."
