"""The design book for those who build pages: in the demo shop, and for any other's supervisor."""

from fastapi import Depends

from server.web.components import samples
from server.web.site.routing import Desk
from server.web.site.session import ShopDep, VisitDep
from server.work.errors import Missing
from server.work.permissions import may


async def for_builders(shop: ShopDep, here: VisitDep) -> None:
    """Raise Missing for everybody else: its invented crafts are not to be taken for real ones."""
    if not shop.demo and not (here.person and may(here.person, "run the office")):
        raise Missing("There is nothing at this address.", "Try the find box.")


desk = Desk(dependencies=[Depends(for_builders)])
desk.include_router(samples.desk)
