"""Key lists, heads, what the office changed, and a second pair of eyes

Revision: 20261126_trust, after 20261126_leaving
"""

import sqlalchemy as sa
from alembic import op

revision = "20261126_trust"
down_revision = "20261126_leaving"
branch_labels = None
depends_on = None


def _moment() -> sa.Column:
    kind = sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql")
    return sa.Column("at", kind, nullable=False)


def upgrade() -> None:
    with op.batch_alter_table("profile", schema=None) as batch_op:
        batch_op.add_column(
            sa.Column("second_eyes", sa.String(), nullable=False, server_default="none")
        )
        batch_op.create_check_constraint(
            op.f("ck_profile_second_eyes_known"), "second_eyes IN ('none', 'motors', 'log')"
        )
    with op.batch_alter_table("profile", schema=None) as batch_op:
        batch_op.alter_column("second_eyes", server_default=None)
    with op.batch_alter_table("signing_key", schema=None) as batch_op:
        batch_op.add_column(sa.Column("act_key", sa.String(), nullable=True))
        batch_op.create_unique_constraint(op.f("uq_signing_key_act_key"), ["act_key"])

    op.create_table(
        "published",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("document", sa.String(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("root", sa.String(), nullable=False),
        sa.Column("key_id", sa.Integer(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        _moment(),
        sa.Column("act_key", sa.String(), nullable=True),
        sa.CheckConstraint("kind IN ('keys', 'head')", name=op.f("ck_published_kind_known")),
        sa.CheckConstraint("length(document) > 0", name=op.f("ck_published_document_filled")),
        sa.CheckConstraint("size >= 0", name=op.f("ck_published_size_sane")),
        sa.ForeignKeyConstraint(
            ["key_id"], ["signing_key.id"], name=op.f("fk_published_key_id_signing_key")
        ),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_published_by_id_staff")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_published")),
        sa.UniqueConstraint("act_key", name=op.f("uq_published_act_key")),
    )
    op.create_table(
        "shop_event",
        sa.Column("id", sa.Integer(), nullable=False),
        _moment(),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.Column("act_key", sa.String(), nullable=True),
        sa.CheckConstraint("length(kind) > 0", name=op.f("ck_shop_event_kind_filled")),
        sa.CheckConstraint("length(says) > 0", name=op.f("ck_shop_event_says_filled")),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_shop_event_by_id_staff")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop_event")),
        sa.UniqueConstraint("act_key", name=op.f("uq_shop_event_act_key")),
    )
    for table, column in (("published", "key_id"), ("published", "by_id"), ("shop_event", "by_id")):
        with op.batch_alter_table(table, schema=None) as batch_op:
            batch_op.create_index(batch_op.f(f"ix_{table}_{column}"), [column], unique=False)
