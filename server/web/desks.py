"""The desks of the app: every router there is."""

from server.web.archive import routes as archive
from server.web.bench import card, faults, power, signing, offline
from server.web.booking import photos, intake
from server.web.components import routes as builders
from server.web.catalogue import routes as catalogue
from server.web.office import customers, routes as office, recheck, trust, wording
from server.web.estimate import routes as estimate
from server.web.queue import find, routes as queue, reminders
from server.web.handover import routes as handover
from server.web.site import theme
from server.web.port_map import parts, start, values, routes as port_map
from server.web.people import signing_key, routes as people
from server.web.ticket import papers, files, overview
from server.web.public import chain, log, status, verify
from server.web.site.routing import Desk

DESKS: tuple[Desk, ...] = (
    people.desk,
    theme.desk,
    offline.desk,
    queue.desk,
    reminders.desk,
    card.desk,
    power.desk,
    faults.desk,
    find.desk,
    intake.desk,
    estimate.desk,
    photos.desk,
    files.desk,
    overview.desk,
    customers.desk,
    papers.desk,
    handover.desk,
    port_map.desk,
    start.desk,
    values.desk,
    parts.desk,
    catalogue.desk,
    signing.desk,
    log.desk,
    verify.desk,
    chain.desk,
    status.desk,
    archive.desk,
    office.desk,
    signing_key.desk,
    trust.desk,
    recheck.desk,
    wording.desk,
    builders.desk,
)
