"""The search for a fault on a ticket, and the cause found

Revision: 20261126_faults, after 20261126_trust
"""

import sqlalchemy as sa
from alembic import op

revision = "20261126_faults"
down_revision = "20261126_trust"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "fault_search",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("round", sa.Integer(), nullable=False),
        sa.Column(
            "at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("act_key", sa.String(), nullable=False),
        sa.CheckConstraint("round > 0", name=op.f("ck_fault_search_round_above_zero")),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_fault_search_by_id_staff")),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_fault_search_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fault_search")),
        sa.UniqueConstraint("act_key", name=op.f("uq_fault_search_act_key")),
    )
    with op.batch_alter_table("fault_search", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_fault_search_ticket_id"), ["ticket_id"], unique=False)

    op.create_table(
        "fault_answer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("search_id", sa.Integer(), nullable=False),
        sa.Column("act_key", sa.String(), nullable=False),
        sa.Column("check_code", sa.String(), nullable=False),
        sa.Column("outcome", sa.String(), nullable=False),
        sa.Column("power", sa.String(), nullable=False),
        sa.Column("props_event_id", sa.Integer(), nullable=True),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column(
            "at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column("replaces_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "power IN ('cold', 'usb') OR props_event_id IS NOT NULL",
            name=op.f("ck_fault_answer_powered_has_props_look"),
        ),
        sa.CheckConstraint(
            "power IN ('cold', 'usb', 'limited', 'battery')",
            name=op.f("ck_fault_answer_power_known"),
        ),
        sa.CheckConstraint(
            "length(check_code) > 0", name=op.f("ck_fault_answer_check_code_filled")
        ),
        sa.CheckConstraint("length(outcome) > 0", name=op.f("ck_fault_answer_outcome_filled")),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_fault_answer_by_id_staff")),
        sa.ForeignKeyConstraint(
            ["props_event_id"],
            ["ticket_event.id"],
            name=op.f("fk_fault_answer_props_event_id_ticket_event"),
        ),
        sa.ForeignKeyConstraint(
            ["replaces_id"],
            ["fault_answer.id"],
            name=op.f("fk_fault_answer_replaces_id_fault_answer"),
        ),
        sa.ForeignKeyConstraint(
            ["search_id"], ["fault_search.id"], name=op.f("fk_fault_answer_search_id_fault_search")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fault_answer")),
        sa.UniqueConstraint("act_key", name=op.f("uq_fault_answer_act_key")),
    )
    with op.batch_alter_table("fault_answer", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_fault_answer_search_id"), ["search_id"], unique=False)

    op.create_table(
        "fault_symptom",
        sa.Column("search_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.CheckConstraint("length(code) > 0", name=op.f("ck_fault_symptom_code_filled")),
        sa.ForeignKeyConstraint(
            ["search_id"], ["fault_search.id"], name=op.f("fk_fault_symptom_search_id_fault_search")
        ),
        sa.PrimaryKeyConstraint("search_id", "code", name=op.f("pk_fault_symptom")),
    )
    with op.batch_alter_table("fault_symptom", schema=None) as batch_op:
        batch_op.create_index("ix_fault_symptom_code", ["code"], unique=False)

    op.create_table(
        "fault_cause",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("search_id", sa.Integer(), nullable=False),
        sa.Column("act_key", sa.String(), nullable=False),
        sa.Column("cause", sa.String(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("answer_id", sa.Integer(), nullable=True),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column(
            "at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column("replaces_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("length(cause) > 0", name=op.f("ck_fault_cause_cause_filled")),
        sa.ForeignKeyConstraint(
            ["answer_id"], ["fault_answer.id"], name=op.f("fk_fault_cause_answer_id_fault_answer")
        ),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_fault_cause_by_id_staff")),
        sa.ForeignKeyConstraint(
            ["replaces_id"], ["fault_cause.id"], name=op.f("fk_fault_cause_replaces_id_fault_cause")
        ),
        sa.ForeignKeyConstraint(
            ["search_id"], ["fault_search.id"], name=op.f("fk_fault_cause_search_id_fault_search")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_fault_cause")),
        sa.UniqueConstraint("act_key", name=op.f("uq_fault_cause_act_key")),
    )
    with op.batch_alter_table("fault_cause", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_fault_cause_search_id"), ["search_id"], unique=False)
