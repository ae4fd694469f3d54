"""The desks of the app: every router there is."""

from server.web import look, people
from server.web.desk import Desk

DESKS: tuple[Desk, ...] = (people.desk, look.desk)
