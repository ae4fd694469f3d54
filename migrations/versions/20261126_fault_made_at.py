"""When a check's answer was made, where a tablet kept it for a while

Revision: 20261126_fault_made_at, after 20261126_counter
"""

import sqlalchemy as sa
from alembic import op

revision = "20261126_fault_made_at"
down_revision = "20261126_counter"
branch_labels = None
depends_on = None


def upgrade() -> None:
    kind = sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql")
    with op.batch_alter_table("fault_answer") as batch_op:
        batch_op.add_column(sa.Column("made_at", kind, nullable=True))
    # Up to now each was made when it arrived.
    op.execute("UPDATE fault_answer SET made_at = at")
    with op.batch_alter_table("fault_answer") as batch_op:
        batch_op.alter_column("made_at", existing_type=kind, nullable=False)
