"""Every table of the shop. Importing this fills the metadata that migrations compare with."""

from sqlmodel import SQLModel

# Names for every constraint, so that a later migration can find and change them on both databases.
SQLModel.metadata.naming_convention = {
    "ix": "ix_%(column_0_N_label)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}

from server.records.tables.builds import (  # noqa: E402 - the naming convention comes first
    Build,
    BuildFinding,
    Component,
    MapDraft,
    WireRecord,
)
from server.records.tables.catalogue import (  # noqa: E402
    BoardPad,
    BoardPort,
    BoardRail,
    BoardRecord,
    DeviceModel,
)
from server.records.tables.evidence import (  # noqa: E402
    Acceptance,
    AttachmentRecord,
    Evidence,
    LogRecord,
    StepRecord,
    TicketEvent,
)
from server.records.tables.faults import (  # noqa: E402
    FaultAnswer,
    FaultCause,
    FaultSearch,
    FaultSymptom,
)
from server.records.tables.leaving import Erasure, Receipt, ShopMessage  # noqa: E402
from server.records.tables.people import (  # noqa: E402
    CraftRecord,
    Customer,
    KeyRecord,
    Login,
    OneTimeCode,
    Profile,
    RunningNumber,
    Staff,
    Terms,
)
from server.records.tables.rechecks import Recheck, RecheckFinding  # noqa: E402
from server.records.tables.tickets import (  # noqa: E402
    Agreement,
    Booking,
    Estimate,
    EstimateLine,
    HandedItem,
    Payment,
    Ticket,
    TicketSymptom,
    TicketTerms,
)
from server.records.tables.trust import Published, ShopEvent  # noqa: E402
from server.records.tables.wording import HouseWord  # noqa: E402

metadata = SQLModel.metadata

__all__ = [
    "Acceptance",
    "Agreement",
    "AttachmentRecord",
    "BoardPad",
    "BoardPort",
    "BoardRail",
    "BoardRecord",
    "Booking",
    "Build",
    "BuildFinding",
    "Component",
    "CraftRecord",
    "Customer",
    "DeviceModel",
    "Erasure",
    "Estimate",
    "EstimateLine",
    "Evidence",
    "FaultAnswer",
    "FaultCause",
    "FaultSearch",
    "FaultSymptom",
    "HandedItem",
    "HouseWord",
    "KeyRecord",
    "LogRecord",
    "Login",
    "MapDraft",
    "OneTimeCode",
    "Payment",
    "Profile",
    "Published",
    "Receipt",
    "Recheck",
    "RecheckFinding",
    "RunningNumber",
    "ShopEvent",
    "ShopMessage",
    "Staff",
    "StepRecord",
    "Terms",
    "Ticket",
    "TicketEvent",
    "TicketSymptom",
    "TicketTerms",
    "WireRecord",
    "metadata",
]
