"""Estimates with their own tax rate, agreements, versions of the terms, telephones by E.164

Revision: 20261126_counter, after 20261126_faults
"""

import phonenumbers
import sqlalchemy as sa
from alembic import op

revision = "20261126_counter"
down_revision = "20261126_faults"
branch_labels = None
depends_on = None

MOMENT = sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql")


def upgrade() -> None:
    op.add_column(
        "profile", sa.Column("rounding", sa.String(), nullable=False, server_default="half-up")
    )
    op.add_column("ticket", sa.Column("status_withdrawn_at", MOMENT, nullable=True))
    op.add_column(
        "estimate_line", sa.Column("kind", sa.String(), nullable=False, server_default="labour")
    )
    _terms()
    _estimates()
    _agreements()
    _fill()
    _telephones(op.get_bind())


def _terms() -> None:
    op.create_table(
        "terms",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.Column("written_at", MOMENT, nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("length(words) > 0", name=op.f("ck_terms_words_filled")),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_terms_by_id_staff")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_terms")),
    )
    op.create_index(op.f("ix_terms_by_id"), "terms", ["by_id"], unique=False)
    op.create_table(
        "ticket_terms",
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("terms_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_ticket_terms_ticket_id_ticket")
        ),
        sa.ForeignKeyConstraint(
            ["terms_id"], ["terms.id"], name=op.f("fk_ticket_terms_terms_id_terms")
        ),
        sa.PrimaryKeyConstraint("ticket_id", name=op.f("pk_ticket_terms")),
    )
    op.create_index(op.f("ix_ticket_terms_terms_id"), "ticket_terms", ["terms_id"], unique=False)


def _estimates() -> None:
    op.create_table(
        "estimate",
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("tax_bp", sa.Integer(), nullable=False),
        sa.Column("rounding", sa.String(), nullable=False),
        sa.Column("changed_at", MOMENT, nullable=False),
        sa.CheckConstraint(
            "rounding IN ('half-up', 'half-even')", name=op.f("ck_estimate_rounding_known")
        ),
        sa.CheckConstraint("tax_bp BETWEEN 0 AND 10000", name=op.f("ck_estimate_tax_sane")),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_estimate_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("ticket_id", name=op.f("pk_estimate")),
    )


def _agreements() -> None:
    op.create_table(
        "agreement",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("basis", sa.String(), nullable=False),
        sa.Column("lines", sa.String(), nullable=False),
        sa.Column("up_to_minor", sa.Integer(), nullable=False),
        sa.Column("currency", sa.String(length=3), nullable=False),
        sa.Column("how", sa.String(), nullable=False),
        sa.Column("who", sa.String(), nullable=False),
        sa.Column("at", MOMENT, nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=True),
        sa.Column("act_key", sa.String(), nullable=False),
        sa.CheckConstraint(
            "how IN ('counter', 'telephone', 'message', 'status page')",
            name=op.f("ck_agreement_how_known"),
        ),
        sa.CheckConstraint("up_to_minor >= 0", name=op.f("ck_agreement_up_to_sane")),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_agreement_ticket_id_ticket")
        ),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_agreement_by_id_staff")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_agreement")),
        sa.UniqueConstraint("act_key", name=op.f("uq_agreement_act_key")),
    )
    op.create_index(op.f("ix_agreement_by_id"), "agreement", ["by_id"], unique=False)
    op.create_index("ix_agreement_ticket", "agreement", ["ticket_id", "id"], unique=False)


def _fill() -> None:
    """What was reckoned with the shop's settings of today keeps these, whatever they become."""
    op.execute(
        "INSERT INTO estimate (ticket_id, currency, tax_bp, rounding, changed_at) "
        "SELECT ticket.id, profile.currency, profile.tax_bp, 'half-up', ticket.booked_at "
        "FROM ticket CROSS JOIN profile"
    )
    op.execute(
        "INSERT INTO terms (words, written_at) SELECT profile.terms, (SELECT min(created_at) FROM staff) "
        "FROM profile WHERE length(profile.terms) > 0 AND EXISTS (SELECT 1 FROM staff)"
    )
    op.execute(
        "INSERT INTO ticket_terms (ticket_id, terms_id) SELECT ticket.id, terms.id "
        "FROM ticket CROSS JOIN terms WHERE ticket.terms_agreed_at IS NOT NULL"
    )


def _telephones(connection: sa.Connection) -> None:
    """Numbers that the shop's country, or their own code, makes sense of become E.164."""
    country = connection.execute(sa.text("SELECT country FROM profile")).scalar()
    rows = connection.execute(sa.text("SELECT id, phone FROM customer WHERE phone != ''")).all()
    changes = [{"id": row.id} | _known(row.phone, country) for row in rows]
    if changes:
        connection.execute(
            sa.text("UPDATE customer SET phone = :phone, phone_key = :key WHERE id = :id"), changes
        )


def _known(phone: str, country: str | None) -> dict[str, str]:
    digits = "".join(filter(str.isdigit, phone))
    try:
        number = phonenumbers.parse(phone, country)
    except phonenumbers.NumberParseException:
        return {"phone": phone, "key": digits}
    if number.extension or not phonenumbers.is_valid_number(number):
        return {"phone": phone, "key": digits}
    e164 = phonenumbers.format_number(number, phonenumbers.PhoneNumberFormat.E164)
    return {"phone": e164, "key": e164.removeprefix("+")}
