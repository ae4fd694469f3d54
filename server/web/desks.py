"""The desks of the app: every router there is."""

from server.web import find, look, people, public_log, queue, sign, ticket_page
from server.web.desk import Desk

DESKS: tuple[Desk, ...] = (
    people.desk,
    look.desk,
    queue.desk,
    find.desk,
    ticket_page.desk,
    sign.desk,
    public_log.desk,
)
