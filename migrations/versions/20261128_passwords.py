"""Passwords by their name, one-time codes that a first one is set by, and shop events that stay

Revision: 20261128_passwords, after 20261126_fault_made_at
"""

import sqlalchemy as sa
from alembic import op

revision = "20261128_passwords"
down_revision = "20261126_fault_made_at"
branch_labels = None
depends_on = None


def _moment(name: str) -> sa.Column:
    kind = sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql")
    return sa.Column(name, kind, nullable=False)


STAYS = "A line of the shop''s history is never changed or removed."


def _keep_shop_events() -> None:
    """The database itself refuses to change or remove a row, whoever asks."""
    if op.get_bind().dialect.name == "sqlite":
        for act in ("UPDATE", "DELETE"):
            op.execute(
                f"CREATE TRIGGER shop_event_no_{act.lower()} BEFORE {act} ON shop_event"
                f" BEGIN SELECT RAISE(ABORT, '{STAYS}'); END"
            )
        return
    op.execute(
        "CREATE FUNCTION shop_event_stays() RETURNS trigger LANGUAGE plpgsql AS"
        f" $$ BEGIN RAISE EXCEPTION '{STAYS}'; END $$"
    )
    op.execute(
        "CREATE TRIGGER shop_event_stays BEFORE UPDATE OR DELETE ON shop_event"
        " FOR EACH ROW EXECUTE FUNCTION shop_event_stays()"
    )


def upgrade() -> None:
    # Both databases rename a column in place; no table is made anew.
    op.alter_column("staff", "phrase_hash", new_column_name="password_hash")
    op.create_table(
        "one_time_code",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("staff_id", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        _moment("made_at"),
        _moment("ends_at"),
        sa.CheckConstraint("length(digest) > 0", name=op.f("ck_one_time_code_digest_filled")),
        sa.ForeignKeyConstraint(
            ["staff_id"], ["staff.id"], name=op.f("fk_one_time_code_staff_id_staff")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_one_time_code")),
    )
    op.create_index(op.f("ix_one_time_code_staff_id"), "one_time_code", ["staff_id"], unique=True)
    _keep_shop_events()
