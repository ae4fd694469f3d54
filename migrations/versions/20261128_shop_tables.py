"""States, events and roles in their words of today, and checked

Revision: 20261128_shop_tables, after 20261128_passwords
"""

import sqlalchemy as sa
from alembic import op

revision = "20261128_shop_tables"
down_revision = "20261128_passwords"
branch_labels = None
depends_on = None

EVENTS = (
    "booked in",
    "estimate",
    "agreed",
    "paid",
    "taken",
    "put back",
    "held",
    "hold ended",
    "passed on",
    "map saved",
    "power",
    "unplugged",
    "props",
    "power refused",
    "lapsed",
    "fault",
    "caution accepted",
    "signed",
    "told",
    "page withdrawn",
    "page renewed",
    "collected",
    "returned",
    "cancelled",
    "erased",
)
RENAMED = (("handed on", "passed on"), ("page given anew", "page renewed"))
OPEN = "state NOT IN ('collected', 'returned', 'cancelled')"


def upgrade() -> None:
    _states()
    _events()
    _roles()


def _states() -> None:
    op.drop_index("ix_ticket_open", table_name="ticket")
    with op.batch_alter_table("ticket") as batch_op:
        batch_op.drop_constraint(op.f("ck_ticket_state_known"), type_="check")
        batch_op.drop_constraint(op.f("ck_ticket_held_has_reason"), type_="check")
    op.execute("UPDATE ticket SET state = 'on-hold' WHERE state = 'held'")
    with op.batch_alter_table("ticket") as batch_op:
        batch_op.create_check_constraint(
            op.f("ck_ticket_state_known"),
            "state IN ('waiting', 'bench', 'on-hold', 'to-sign', 'ready', 'collected',"
            " 'returned', 'cancelled')",
        )
        batch_op.create_check_constraint(
            op.f("ck_ticket_on_hold_has_reason"),
            "(state = 'on-hold') <= (length(hold_reason) > 0)",
        )
    op.create_index(
        "ix_ticket_open",
        "ticket",
        ["promised_at", "number"],
        sqlite_where=sa.text(OPEN),
        postgresql_where=sa.text(OPEN),
    )


def _events() -> None:
    for old, new in RENAMED:
        op.execute(f"UPDATE ticket_event SET kind = '{new}' WHERE kind = '{old}'")
    listed = ", ".join(f"'{event}'" for event in EVENTS)
    with op.batch_alter_table("ticket_event") as batch_op:
        batch_op.drop_constraint(op.f("ck_ticket_event_kind_filled"), type_="check")
        batch_op.create_check_constraint(op.f("ck_ticket_event_kind_known"), f"kind IN ({listed})")


def _roles() -> None:
    with op.batch_alter_table("staff") as batch_op:
        batch_op.drop_constraint(op.f("ck_staff_role_known"), type_="check")
    op.execute("UPDATE staff SET role = 'supervisor' WHERE role = 'lead'")
    with op.batch_alter_table("staff") as batch_op:
        batch_op.create_check_constraint(
            op.f("ck_staff_role_known"), "role IN ('counter', 'technician', 'supervisor')"
        )
