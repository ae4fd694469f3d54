"""The whole archive under newer rules

Revision: 20261126_rechecks, after 20261125_first_tables
"""

import sqlalchemy as sa
from alembic import op

revision = "20261126_rechecks"
down_revision = "20261125_first_tables"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "recheck",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("rules_version", sa.String(), nullable=False),
        sa.Column(
            "started_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column(
            "finished_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=True,
        ),
        sa.Column("by_id", sa.Integer(), nullable=True),
        sa.Column("last_build_id", sa.Integer(), nullable=False),
        sa.Column("looked", sa.Integer(), nullable=False),
        sa.Column("total", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "length(rules_version) > 0", name=op.f("ck_recheck_rules_version_filled")
        ),
        sa.CheckConstraint("looked >= 0 AND total >= 0", name=op.f("ck_recheck_counts_sane")),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_recheck_by_id_staff")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_recheck")),
    )
    with op.batch_alter_table("recheck", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_recheck_by_id"), ["by_id"], unique=False)

    op.create_table(
        "recheck_finding",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("recheck_id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("severity", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.CheckConstraint(
            "severity IN ('stop', 'caution', 'note')",
            name=op.f("ck_recheck_finding_severity_known"),
        ),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_recheck_finding_build_id_build")
        ),
        sa.ForeignKeyConstraint(
            ["recheck_id"], ["recheck.id"], name=op.f("fk_recheck_finding_recheck_id_recheck")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_recheck_finding")),
        sa.UniqueConstraint(
            "recheck_id",
            "build_id",
            "code",
            "severity",
            "subject",
            "says",
            name="uq_recheck_finding_whole",
        ),
    )
    with op.batch_alter_table("recheck_finding", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_recheck_finding_build_id"), ["build_id"], unique=False)
