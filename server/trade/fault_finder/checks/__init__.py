"""The checks, by code; the order settles which of two equally good ones is asked first."""

from server.trade.fault_finder.checks import arming, board, motors, picture, radio
from server.trade.fault_finder.model import Check

ROWS: tuple[Check, ...] = (
    *motors.ROWS,
    *arming.ROWS,
    *radio.ROWS,
    *picture.ROWS,
    *board.ROWS,
)

CHECKS: dict[str, Check] = {row.code: row for row in ROWS}
