"""What the fields of a part offer, from the trade's tables."""

from server.trade.tables.serial import ROLES, SERIAL

Option = tuple[str, str]
ROLE_NAMES: tuple[Option, ...] = tuple((key, f"{key}: {says}") for key, says in ROLES.items())
PROTOCOLS: tuple[Option, ...] = tuple((name, name) for name in SERIAL)
