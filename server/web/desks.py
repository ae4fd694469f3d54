"""The desks of the app: every router there is."""

from server.web import (
    archive,
    bench,
    catalogue,
    counter,
    find,
    look,
    map_parts,
    map_start,
    map_values,
    office,
    papers,
    people,
    port_map,
    power,
    public_log,
    queue,
    sign,
    ticket_page,
)
from server.web.desk import Desk

DESKS: tuple[Desk, ...] = (
    people.desk,
    look.desk,
    queue.desk,
    bench.desk,
    power.desk,
    find.desk,
    counter.desk,
    ticket_page.desk,
    papers.desk,
    port_map.desk,
    map_start.desk,
    map_values.desk,
    map_parts.desk,
    catalogue.desk,
    sign.desk,
    public_log.desk,
    archive.desk,
    office.desk,
)
