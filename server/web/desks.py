"""The desks of the app: every router there is."""

from server.web import find, look, people, queue
from server.web.desk import Desk

DESKS: tuple[Desk, ...] = (
    people.desk,
    look.desk,
    queue.desk,
    find.desk,
)
