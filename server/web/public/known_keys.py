"""The key list that this server checks with: the newest signed one, else its own records."""

from dataclasses import dataclass

from sqlalchemy import Connection

from server.ledger.keylist import KeyList
from server.ledger.parts import moment
from server.work.office import trust
from server.work.shop import Shop


@dataclass(frozen=True)
class Known:
    """A list, and in words where it comes from."""

    keys: KeyList | None
    says: str


def known_keys(connection: Connection, shop: Shop) -> Known:
    """The signed list while it says all that the records say; else the records."""
    signed = trust.newest_list(connection)
    signer = signed.find(signed.signed_by) if signed else None
    now = trust.key_list(connection, moment(shop.now()), signed.signed_by if signed else "0" * 43)
    if signed and signer and not trust.behind(signed, now):
        return Known(signed, f"the key list that {signer.owner} signed on {signed.made_at[:10]}")
    return Known(now, "this shop’s records, which no signed key list covers yet")
