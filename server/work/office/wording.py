"""House wording: what the shop's own set-up programs call each setting."""

from collections.abc import Mapping

from sqlmodel import Session, select

from server.records.engine import writing
from server.records.tables import HouseWord, Ticket
from server.trade.card.wording import KNOWN
from server.work.errors import Missing, Unfit
from server.work.permissions import require
from server.work.shop import Person, Shop
from server.work.ticket import shared

MOST = 160  # a bracket on a printed card holds no more


def put_words(shop: Shop, by: Person, *, family: str, words: Mapping[str, str]) -> None:
    """Keep the words of one firmware family; an empty one is taken away. Raises Unfit."""
    require(by, "run the office")
    name = " ".join(family.split())
    if not name:
        raise Unfit("family", "Say whose words these are.")
    for setting, said in words.items():
        if setting not in KNOWN:
            raise Unfit("", f"There is no setting {setting}.", "Load the page again.")
        if len(said) > MOST:
            raise Unfit(f"words[{setting}]", f"{MOST} characters at most.")
    with writing(shop.engine) as session:
        kept = {row.setting: row for row in session.exec(_of(name))}
        for setting, said in words.items():
            _put(session, kept.get(setting), name, setting, " ".join(said.split()))


def choose_family(shop: Shop, by: Person, number: int, *, family: str) -> Ticket:
    """Whose words the card of this ticket adds; empty for none. Ticks stay as they are."""
    require(by, "work at the bench")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        shared.require_open(ticket)
        if family and session.exec(_of(family)).first() is None:
            raise Missing(
                f"There are no words for {family}.", "The supervisor enters them in the office."
            )
        ticket.family = family
        return ticket


def _of(family: str):  # type: ignore[no-untyped-def]  # a select
    return select(HouseWord).where(HouseWord.family == family)


def _put(session: Session, row: HouseWord | None, family: str, setting: str, said: str) -> None:
    if row is not None and not said:
        session.delete(row)
    elif row is not None:
        row.words = said
    elif said:
        session.add(HouseWord(family=family, setting=setting, words=said))
