"""Opening days and reminders, receipts of what went back, and erased customers

Revision: 20261126_leaving, after 20261126_rechecks
"""

import sqlalchemy as sa
from alembic import op

revision = "20261126_leaving"
down_revision = "20261126_rechecks"
branch_labels = None
depends_on = None

# Written out: both databases take a column with its check, and the table is not made anew.
PROFILE = (
    "label VARCHAR DEFAULT '62mm' NOT NULL"
    " CONSTRAINT ck_profile_label_known CHECK (label IN ('62mm', '57x32mm'))",
    "open_days VARCHAR DEFAULT '12345' NOT NULL"
    " CONSTRAINT ck_profile_open_days_filled CHECK (length(open_days) > 0)",
    "opens_at VARCHAR DEFAULT '09:00' NOT NULL",
    "closes_at VARCHAR DEFAULT '17:00' NOT NULL",
    "held_days INTEGER DEFAULT 7 NOT NULL"
    " CONSTRAINT ck_profile_held_days_sane CHECK (held_days BETWEEN 1 AND 365)",
    "ready_days INTEGER DEFAULT 14 NOT NULL"
    " CONSTRAINT ck_profile_ready_days_sane CHECK (ready_days BETWEEN 1 AND 365)",
)


def moment(name: str) -> sa.Column[str]:
    kind = sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql")
    return sa.Column(name, kind, nullable=False)


def upgrade() -> None:
    for column in PROFILE:
        op.execute(f"ALTER TABLE profile ADD COLUMN {column}")
    op.create_table(
        "receipt",
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("shown", sa.String(), nullable=False),
        sa.Column("signed", sa.String(), nullable=False),
        sa.Column("signature", sa.String(), nullable=False),
        sa.Column("kept_back", sa.String(), nullable=False),
        sa.Column("owed_note", sa.String(), nullable=False),
        moment("at"),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "shown IN ('slip', 'known', 'word')", name=op.f("ck_receipt_shown_known")
        ),
        sa.CheckConstraint("signed IN ('tablet', 'paper')", name=op.f("ck_receipt_signed_known")),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_receipt_ticket_id_ticket")
        ),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_receipt_by_id_staff")),
        sa.PrimaryKeyConstraint("ticket_id", name=op.f("pk_receipt")),
    )
    op.create_index(op.f("ix_receipt_by_id"), "receipt", ["by_id"])
    op.create_table(
        "shop_message",
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.CheckConstraint(
            "kind IN ('held', 'late', 'ready')", name=op.f("ck_shop_message_kind_known")
        ),
        sa.CheckConstraint("length(words) > 0", name=op.f("ck_shop_message_words_filled")),
        sa.PrimaryKeyConstraint("kind", name=op.f("pk_shop_message")),
    )
    op.create_table(
        "erasure",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("customer_id", sa.Integer(), nullable=False),
        moment("at"),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("said", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["customer_id"], ["customer.id"], name=op.f("fk_erasure_customer_id_customer")
        ),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_erasure_by_id_staff")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_erasure")),
    )
    op.create_index(op.f("ix_erasure_customer_id"), "erasure", ["customer_id"])
    op.create_index(op.f("ix_erasure_by_id"), "erasure", ["by_id"])
