"""The desks of the app: every router there is."""

from server.web import passwords
from server.web.archive import routes as archive
from server.web.bench import card, faults, offline, power, signing
from server.web.booking import intake, photos
from server.web.catalogue import routes as catalogue
from server.web.components import routes as builders
from server.web.estimate import routes as estimate
from server.web.handover import routes as handover
from server.web.office import customers, recheck, trust, wording
from server.web.office import routes as office
from server.web.people import routes as people
from server.web.people import signing_key
from server.web.port_map import parts, start, values
from server.web.port_map import routes as port_map
from server.web.public import chain, log, status, verify
from server.web.queue import find, reminders
from server.web.queue import routes as queue
from server.web.site import theme
from server.web.site.routing import Desk
from server.web.ticket import files, overview, papers

DESKS: tuple[Desk, ...] = (
    people.desk,
    passwords.desk,
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
