"""What somebody does in the shop."""

from enum import StrEnum


class Role(StrEnum):
    """One of three; what each may do is in work/permissions.py."""

    COUNTER = "counter"
    TECHNICIAN = "technician"
    SUPERVISOR = "supervisor"


ROLE_WORDS: dict[Role, str] = {
    Role.COUNTER: "Counter",
    Role.TECHNICIAN: "Technician",
    Role.SUPERVISOR: "Supervisor",
}
