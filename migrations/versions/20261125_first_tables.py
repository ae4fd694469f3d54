"""First tables

Revision: 20261125_first_tables, the first
"""

import sqlalchemy as sa
from alembic import op

revision = "20261125_first_tables"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:

    op.create_table(
        "board",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("maker", sa.String(), nullable=False),
        sa.Column("model", sa.String(), nullable=False),
        sa.Column("mcu", sa.String(), nullable=False),
        sa.Column("search_key", sa.String(), nullable=False),
        sa.Column("supply_low", sa.String(), nullable=False),
        sa.Column("supply_high", sa.String(), nullable=False),
        sa.Column("listed", sa.Boolean(), nullable=False),
        sa.Column(
            "created_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.CheckConstraint("length(mcu) > 0", name=op.f("ck_board_mcu_filled")),
        sa.CheckConstraint("length(model) > 0", name=op.f("ck_board_model_filled")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_board")),
        sa.UniqueConstraint("maker", "model", "mcu", name=op.f("uq_board_maker_model_mcu")),
    )
    op.create_table(
        "counter",
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("value", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_counter")),
    )
    op.create_table(
        "customer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("name_key", sa.String(), nullable=False),
        sa.Column("phone", sa.String(), nullable=False),
        sa.Column("phone_key", sa.String(), nullable=False),
        sa.Column("email", sa.String(), nullable=False),
        sa.Column(
            "created_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column(
            "erased_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=True,
        ),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_customer_name_filled")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_customer")),
    )
    with op.batch_alter_table("customer", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_customer_name_key"), ["name_key"], unique=False)
        batch_op.create_index(batch_op.f("ix_customer_phone_key"), ["phone_key"], unique=False)

    op.create_table(
        "device_model",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("maker", sa.String(), nullable=False),
        sa.Column("model", sa.String(), nullable=False),
        sa.Column("search_key", sa.String(), nullable=False),
        sa.Column("document", sa.String(), nullable=False),
        sa.Column(
            "created_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.CheckConstraint("length(kind) > 0", name=op.f("ck_device_model_kind_filled")),
        sa.CheckConstraint("length(model) > 0", name=op.f("ck_device_model_model_filled")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_device_model")),
        sa.UniqueConstraint(
            "kind", "maker", "model", name=op.f("uq_device_model_kind_maker_model")
        ),
    )
    op.create_table(
        "profile",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("address", sa.String(), nullable=False),
        sa.Column("phone", sa.String(), nullable=False),
        sa.Column("country", sa.String(), nullable=False),
        sa.Column("zone", sa.String(), nullable=False),
        sa.Column("currency", sa.String(), nullable=False),
        sa.Column("tax_bp", sa.Integer(), nullable=False),
        sa.Column("terms", sa.String(), nullable=False),
        sa.Column("paper", sa.String(), nullable=False),
        sa.Column("props_minutes", sa.Integer(), nullable=False),
        sa.Column("power_minutes", sa.Integer(), nullable=False),
        sa.CheckConstraint("paper IN ('a4', 'us-letter')", name=op.f("ck_profile_paper_known")),
        sa.CheckConstraint("id = 1", name=op.f("ck_profile_one_shop")),
        sa.CheckConstraint(
            "power_minutes BETWEEN 1 AND 600", name=op.f("ck_profile_power_minutes_sane")
        ),
        sa.CheckConstraint(
            "props_minutes BETWEEN 1 AND 240", name=op.f("ck_profile_props_minutes_sane")
        ),
        sa.CheckConstraint("tax_bp BETWEEN 0 AND 10000", name=op.f("ck_profile_tax_sane")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_profile")),
    )
    op.create_table(
        "staff",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("initials", sa.String(), nullable=False),
        sa.Column("sign_in", sa.String(), nullable=False),
        sa.Column("role", sa.String(), nullable=False),
        sa.Column("phrase_hash", sa.String(), nullable=False),
        sa.Column("active", sa.Boolean(), nullable=False),
        sa.Column("theme", sa.String(), nullable=False),
        sa.Column(
            "created_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.CheckConstraint(
            "role IN ('counter', 'technician', 'lead')", name=op.f("ck_staff_role_known")
        ),
        sa.CheckConstraint("length(initials) > 0", name=op.f("ck_staff_initials_filled")),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_staff_name_filled")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_staff")),
        sa.UniqueConstraint("sign_in", name=op.f("uq_staff_sign_in")),
    )
    op.create_table(
        "board_port",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("board_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("port", sa.String(), nullable=False),
        sa.Column("taken_by", sa.String(), nullable=True),
        sa.Column("software", sa.Boolean(), nullable=True),
        sa.Column("max_baud", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(
            ["board_id"], ["board.id"], name=op.f("fk_board_port_board_id_board")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_board_port")),
        sa.UniqueConstraint("board_id", "port", name=op.f("uq_board_port_board_id_port")),
        sa.UniqueConstraint("board_id", "position", name=op.f("uq_board_port_board_id_position")),
    )
    with op.batch_alter_table("board_port", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_board_port_board_id"), ["board_id"], unique=False)

    op.create_table(
        "board_rail",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("board_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("rail", sa.String(), nullable=False),
        sa.Column("volts", sa.String(), nullable=False),
        sa.Column("amps", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["board_id"], ["board.id"], name=op.f("fk_board_rail_board_id_board")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_board_rail")),
        sa.UniqueConstraint("board_id", "position", name=op.f("uq_board_rail_board_id_position")),
        sa.UniqueConstraint("board_id", "rail", name=op.f("uq_board_rail_board_id_rail")),
    )
    with op.batch_alter_table("board_rail", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_board_rail_board_id"), ["board_id"], unique=False)

    op.create_table(
        "craft",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("customer_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("name_key", sa.String(), nullable=False),
        sa.Column("mark", sa.String(), nullable=False),
        sa.Column(
            "created_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.CheckConstraint("length(name) > 0", name=op.f("ck_craft_name_filled")),
        sa.ForeignKeyConstraint(
            ["customer_id"], ["customer.id"], name=op.f("fk_craft_customer_id_customer")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_craft")),
        sa.UniqueConstraint("customer_id", "name", name=op.f("uq_craft_customer_id_name")),
    )
    with op.batch_alter_table("craft", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_craft_customer_id"), ["customer_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_craft_name_key"), ["name_key"], unique=False)

    op.create_table(
        "house_word",
        sa.Column("family", sa.String(length=60), nullable=False),
        sa.Column("setting", sa.String(length=40), nullable=False),
        sa.Column("words", sa.String(), nullable=False),
        sa.CheckConstraint("length(family) > 0", name=op.f("ck_house_word_family_filled")),
        sa.CheckConstraint("length(words) > 0", name=op.f("ck_house_word_words_filled")),
        sa.PrimaryKeyConstraint("family", "setting", name=op.f("pk_house_word")),
    )
    op.create_table(
        "login",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("token_digest", sa.String(), nullable=False),
        sa.Column("staff_id", sa.Integer(), nullable=False),
        sa.Column("csrf", sa.String(), nullable=False),
        sa.Column("bench", sa.String(), nullable=False),
        sa.Column(
            "created_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column(
            "ends_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.ForeignKeyConstraint(["staff_id"], ["staff.id"], name=op.f("fk_login_staff_id_staff")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_login")),
        sa.UniqueConstraint("token_digest", name=op.f("uq_login_token_digest")),
    )
    with op.batch_alter_table("login", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_login_staff_id"), ["staff_id"], unique=False)

    op.create_table(
        "signing_key",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("staff_id", sa.Integer(), nullable=False),
        sa.Column("kid", sa.String(), nullable=False),
        sa.Column("fingerprint", sa.String(), nullable=False),
        sa.Column("public_jwk", sa.String(), nullable=False),
        sa.Column("sealed", sa.String(), nullable=False),
        sa.Column(
            "created_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column(
            "closed_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=True,
        ),
        sa.ForeignKeyConstraint(
            ["staff_id"], ["staff.id"], name=op.f("fk_signing_key_staff_id_staff")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_signing_key")),
        sa.UniqueConstraint("kid", name=op.f("uq_signing_key_kid")),
    )
    with op.batch_alter_table("signing_key", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_signing_key_staff_id"), ["staff_id"], unique=False)

    op.create_table(
        "board_pad",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("board_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("pad", sa.String(), nullable=False),
        sa.Column("signal", sa.String(), nullable=False),
        sa.Column("port_id", sa.Integer(), nullable=True),
        sa.Column("rail_id", sa.Integer(), nullable=True),
        sa.Column("output", sa.Integer(), nullable=True),
        sa.Column("timer", sa.String(), nullable=True),
        sa.Column("max_v", sa.String(), nullable=True),
        sa.Column("inverter", sa.Boolean(), nullable=True),
        sa.CheckConstraint(
            "output IS NULL OR output BETWEEN 1 AND 8", name=op.f("ck_board_pad_output_sane")
        ),
        sa.ForeignKeyConstraint(
            ["board_id"], ["board.id"], name=op.f("fk_board_pad_board_id_board")
        ),
        sa.ForeignKeyConstraint(
            ["port_id"], ["board_port.id"], name=op.f("fk_board_pad_port_id_board_port")
        ),
        sa.ForeignKeyConstraint(
            ["rail_id"], ["board_rail.id"], name=op.f("fk_board_pad_rail_id_board_rail")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_board_pad")),
        sa.UniqueConstraint("board_id", "pad", name=op.f("uq_board_pad_board_id_pad")),
        sa.UniqueConstraint("board_id", "position", name=op.f("uq_board_pad_board_id_position")),
    )
    with op.batch_alter_table("board_pad", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_board_pad_board_id"), ["board_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_board_pad_port_id"), ["port_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_board_pad_rail_id"), ["rail_id"], unique=False)

    op.create_table(
        "ticket",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("craft_id", sa.Integer(), nullable=False),
        sa.Column("customer_id", sa.Integer(), nullable=False),
        sa.Column("state", sa.String(), nullable=False),
        sa.Column("holder_id", sa.Integer(), nullable=True),
        sa.Column("bench", sa.String(), nullable=False),
        sa.Column("hold_reason", sa.String(), nullable=False),
        sa.Column("own_words", sa.String(), nullable=False),
        sa.Column("condition", sa.String(), nullable=False),
        sa.Column("battery_look", sa.String(), nullable=False),
        sa.Column(
            "terms_agreed_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=True,
        ),
        sa.Column(
            "promised_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=True,
        ),
        sa.Column("status_code", sa.String(), nullable=False),
        sa.Column(
            "booked_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column("booked_by_id", sa.Integer(), nullable=False),
        sa.Column(
            "changed_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column(
            "collected_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=True,
        ),
        sa.Column("collected_by", sa.String(), nullable=False),
        sa.Column("power", sa.String(), nullable=False),
        sa.Column(
            "power_since",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=True,
        ),
        sa.Column("power_by_id", sa.Integer(), nullable=True),
        sa.Column(
            "props_seen_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=True,
        ),
        sa.Column("props_seen_by_id", sa.Integer(), nullable=True),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("family", sa.String(), nullable=False),
        sa.Column("steps_done", sa.Integer(), nullable=False),
        sa.Column("steps_again", sa.Integer(), nullable=False),
        sa.Column("steps_total", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "(state = 'bench') <= (holder_id IS NOT NULL)", name=op.f("ck_ticket_bench_has_holder")
        ),
        sa.CheckConstraint(
            "(state = 'held') <= (length(hold_reason) > 0)", name=op.f("ck_ticket_held_has_reason")
        ),
        sa.CheckConstraint(
            "battery_look IN ('sound', 'worn', 'unsafe', 'none')",
            name=op.f("ck_ticket_battery_look_known"),
        ),
        sa.CheckConstraint(
            "power IN ('cold', 'usb', 'limited', 'battery')", name=op.f("ck_ticket_power_known")
        ),
        sa.CheckConstraint(
            "state IN ('waiting', 'bench', 'held', 'to-sign', 'ready', 'collected', 'returned')",
            name=op.f("ck_ticket_state_known"),
        ),
        sa.ForeignKeyConstraint(
            ["booked_by_id"], ["staff.id"], name=op.f("fk_ticket_booked_by_id_staff")
        ),
        sa.ForeignKeyConstraint(["craft_id"], ["craft.id"], name=op.f("fk_ticket_craft_id_craft")),
        sa.ForeignKeyConstraint(
            ["customer_id"], ["customer.id"], name=op.f("fk_ticket_customer_id_customer")
        ),
        sa.ForeignKeyConstraint(
            ["holder_id"], ["staff.id"], name=op.f("fk_ticket_holder_id_staff")
        ),
        sa.ForeignKeyConstraint(
            ["power_by_id"], ["staff.id"], name=op.f("fk_ticket_power_by_id_staff")
        ),
        sa.ForeignKeyConstraint(
            ["props_seen_by_id"], ["staff.id"], name=op.f("fk_ticket_props_seen_by_id_staff")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_ticket")),
        sa.UniqueConstraint("number", name=op.f("uq_ticket_number")),
        sa.UniqueConstraint("status_code", name=op.f("uq_ticket_status_code")),
    )
    with op.batch_alter_table("ticket", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_ticket_booked_by_id"), ["booked_by_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_ticket_craft_id"), ["craft_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_ticket_customer_id"), ["customer_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_ticket_holder_id"), ["holder_id"], unique=False)
        batch_op.create_index(
            "ix_ticket_open",
            ["promised_at", "number"],
            unique=False,
            sqlite_where=sa.text("state NOT IN ('collected', 'returned')"),
            postgresql_where=sa.text("state NOT IN ('collected', 'returned')"),
        )
        batch_op.create_index(batch_op.f("ix_ticket_power_by_id"), ["power_by_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_ticket_props_seen_by_id"), ["props_seen_by_id"], unique=False
        )

    op.create_table(
        "attachment",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("name", sa.String(), nullable=False),
        sa.Column("media_type", sa.String(), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column(
            "at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.CheckConstraint("kind IN ('photo', 'settings')", name=op.f("ck_attachment_kind_known")),
        sa.CheckConstraint("size > 0", name=op.f("ck_attachment_size_above_zero")),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_attachment_by_id_staff")),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_attachment_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_attachment")),
        sa.UniqueConstraint(
            "ticket_id", "digest", "kind", name=op.f("uq_attachment_ticket_id_digest_kind")
        ),
    )
    with op.batch_alter_table("attachment", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_attachment_by_id"), ["by_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_attachment_digest"), ["digest"], unique=False)
        batch_op.create_index(batch_op.f("ix_attachment_ticket_id"), ["ticket_id"], unique=False)

    op.create_table(
        "booking",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("answers", sa.String(), nullable=False),
        sa.Column("ticket_id", sa.Integer(), nullable=True),
        sa.Column(
            "created_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column(
            "changed_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_booking_by_id_staff")),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_booking_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_booking")),
    )
    with op.batch_alter_table("booking", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_booking_by_id"), ["by_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_booking_ticket_id"), ["ticket_id"], unique=False)

    op.create_table(
        "build",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("revision", sa.Integer(), nullable=False),
        sa.Column("sheet", sa.String(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("board_id", sa.Integer(), nullable=False),
        sa.Column("came_from_id", sa.Integer(), nullable=True),
        sa.Column(
            "created_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column(
            "signed_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=True,
        ),
        sa.CheckConstraint("revision > 0", name=op.f("ck_build_revision_above_zero")),
        sa.ForeignKeyConstraint(["board_id"], ["board.id"], name=op.f("fk_build_board_id_board")),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_build_by_id_staff")),
        sa.ForeignKeyConstraint(
            ["came_from_id"], ["build.id"], name=op.f("fk_build_came_from_id_build")
        ),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_build_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_build")),
        sa.UniqueConstraint("ticket_id", "revision", name=op.f("uq_build_ticket_id_revision")),
    )
    with op.batch_alter_table("build", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_build_board_id"), ["board_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_build_by_id"), ["by_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_build_came_from_id"), ["came_from_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_build_digest"), ["digest"], unique=False)
        batch_op.create_index(
            "ix_build_signed_board",
            ["board_id", "id"],
            unique=False,
            sqlite_where=sa.text("signed_at IS NOT NULL"),
            postgresql_where=sa.text("signed_at IS NOT NULL"),
        )
        batch_op.create_index(batch_op.f("ix_build_ticket_id"), ["ticket_id"], unique=False)

    op.create_table(
        "estimate_line",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("unit_minor", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "quantity BETWEEN 1 AND 9999", name=op.f("ck_estimate_line_quantity_sane")
        ),
        sa.CheckConstraint(
            "unit_minor BETWEEN 0 AND 100000000", name=op.f("ck_estimate_line_unit_sane")
        ),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_estimate_line_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_estimate_line")),
        sa.UniqueConstraint(
            "ticket_id", "position", name=op.f("uq_estimate_line_ticket_id_position")
        ),
    )
    with op.batch_alter_table("estimate_line", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_estimate_line_ticket_id"), ["ticket_id"], unique=False)

    op.create_table(
        "handed_item",
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("item", sa.String(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.CheckConstraint(
            "item IN ('craft', 'battery', 'radio', 'goggles', 'props', 'charger-lead', 'case')",
            name=op.f("ck_handed_item_item_known"),
        ),
        sa.CheckConstraint("count BETWEEN 1 AND 99", name=op.f("ck_handed_item_count_sane")),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_handed_item_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("ticket_id", "item", name=op.f("pk_handed_item")),
    )
    op.create_table(
        "payment",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("amount_minor", sa.Integer(), nullable=False),
        sa.Column(
            "at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("act_key", sa.String(), nullable=False),
        sa.CheckConstraint("kind IN ('deposit', 'balance')", name=op.f("ck_payment_kind_known")),
        sa.CheckConstraint("amount_minor > 0", name=op.f("ck_payment_amount_above_zero")),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_payment_by_id_staff")),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_payment_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_payment")),
        sa.UniqueConstraint("act_key", name=op.f("uq_payment_act_key")),
    )
    with op.batch_alter_table("payment", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_payment_by_id"), ["by_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_payment_ticket_id"), ["ticket_id"], unique=False)

    op.create_table(
        "step",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(), nullable=False),
        sa.Column("basis", sa.String(), nullable=False),
        sa.Column("stage", sa.String(), nullable=False),
        sa.Column("title", sa.String(), nullable=False),
        sa.Column("target", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_step_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_step")),
        sa.UniqueConstraint("ticket_id", "key", "basis", name=op.f("uq_step_ticket_id_key_basis")),
    )
    with op.batch_alter_table("step", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_step_ticket_id"), ["ticket_id"], unique=False)

    op.create_table(
        "ticket_event",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column(
            "at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column("by_id", sa.Integer(), nullable=True),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.Column("power", sa.String(), nullable=True),
        sa.Column("act_key", sa.String(), nullable=True),
        sa.CheckConstraint("length(kind) > 0", name=op.f("ck_ticket_event_kind_filled")),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_ticket_event_by_id_staff")),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_ticket_event_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_ticket_event")),
        sa.UniqueConstraint("act_key", name=op.f("uq_ticket_event_act_key")),
    )
    with op.batch_alter_table("ticket_event", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_ticket_event_by_id"), ["by_id"], unique=False)
        batch_op.create_index("ix_ticket_event_ticket", ["ticket_id", "id"], unique=False)

    op.create_table(
        "ticket_symptom",
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.CheckConstraint(
            "code IN ('wiped', 'no-arm', 'flips', 'motor-silent', 'no-picture', 'no-overlay', 'no-radio', 'drifts', 'never-set-up', 'other')",
            name=op.f("ck_ticket_symptom_code_known"),
        ),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_ticket_symptom_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("ticket_id", "code", name=op.f("pk_ticket_symptom")),
    )
    with op.batch_alter_table("ticket_symptom", schema=None) as batch_op:
        batch_op.create_index("ix_ticket_symptom_code", ["code"], unique=False)

    op.create_table(
        "acceptance",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("finding_key", sa.String(), nullable=False),
        sa.Column("reason", sa.String(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column(
            "at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column("act_key", sa.String(), nullable=False),
        sa.CheckConstraint("length(reason) > 0", name=op.f("ck_acceptance_reason_filled")),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_acceptance_build_id_build")
        ),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_acceptance_by_id_staff")),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_acceptance_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_acceptance")),
        sa.UniqueConstraint("act_key", name=op.f("uq_acceptance_act_key")),
        sa.UniqueConstraint(
            "ticket_id",
            "finding_key",
            "build_id",
            name=op.f("uq_acceptance_ticket_id_finding_key_build_id"),
        ),
    )
    with op.batch_alter_table("acceptance", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_acceptance_build_id"), ["build_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_acceptance_by_id"), ["by_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_acceptance_ticket_id"), ["ticket_id"], unique=False)

    op.create_table(
        "build_finding",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(), nullable=False),
        sa.Column("severity", sa.String(), nullable=False),
        sa.Column("subject", sa.String(), nullable=False),
        sa.CheckConstraint(
            "severity IN ('stop', 'caution', 'note')", name=op.f("ck_build_finding_severity_known")
        ),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_build_finding_build_id_build")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_build_finding")),
        sa.UniqueConstraint(
            "build_id", "position", name=op.f("uq_build_finding_build_id_position")
        ),
    )
    with op.batch_alter_table("build_finding", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_build_finding_build_id"), ["build_id"], unique=False)
        batch_op.create_index("ix_build_finding_code", ["code", "build_id"], unique=False)

    op.create_table(
        "component",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("device", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("maker", sa.String(), nullable=False),
        sa.Column("model", sa.String(), nullable=False),
        sa.Column("search_key", sa.String(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_component_build_id_build")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_component")),
        sa.UniqueConstraint("build_id", "position", name=op.f("uq_component_build_id_position")),
    )
    with op.batch_alter_table("component", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_component_build_id"), ["build_id"], unique=False)
        batch_op.create_index("ix_component_kind", ["kind"], unique=False)

    op.create_table(
        "evidence",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("step_id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("act_key", sa.String(), nullable=False),
        sa.Column("kind", sa.String(), nullable=False),
        sa.Column("answer", sa.String(), nullable=False),
        sa.Column("verdict", sa.String(), nullable=False),
        sa.Column("found", sa.String(), nullable=False),
        sa.Column("says", sa.String(), nullable=False),
        sa.Column("do", sa.String(), nullable=False),
        sa.Column("power", sa.String(), nullable=False),
        sa.Column("props_event_id", sa.Integer(), nullable=True),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column(
            "made_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column(
            "at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column("replaces_id", sa.Integer(), nullable=True),
        sa.CheckConstraint(
            "power IN ('cold', 'usb') OR props_event_id IS NOT NULL",
            name=op.f("ck_evidence_powered_has_props_look"),
        ),
        sa.CheckConstraint(
            "power IN ('cold', 'usb', 'limited', 'battery')", name=op.f("ck_evidence_power_known")
        ),
        sa.CheckConstraint(
            "verdict IN ('pass', 'fail', 'more')", name=op.f("ck_evidence_verdict_known")
        ),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_evidence_build_id_build")
        ),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_evidence_by_id_staff")),
        sa.ForeignKeyConstraint(
            ["props_event_id"],
            ["ticket_event.id"],
            name=op.f("fk_evidence_props_event_id_ticket_event"),
        ),
        sa.ForeignKeyConstraint(
            ["replaces_id"], ["evidence.id"], name=op.f("fk_evidence_replaces_id_evidence")
        ),
        sa.ForeignKeyConstraint(["step_id"], ["step.id"], name=op.f("fk_evidence_step_id_step")),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_evidence_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_evidence")),
        sa.UniqueConstraint("act_key", name=op.f("uq_evidence_act_key")),
    )
    with op.batch_alter_table("evidence", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_evidence_build_id"), ["build_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_evidence_by_id"), ["by_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_evidence_replaces_id"), ["replaces_id"], unique=False)
        batch_op.create_index(
            "ix_evidence_ticket_step", ["ticket_id", "step_id", "id"], unique=False
        )

    op.create_table(
        "map_draft",
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("sheet", sa.String(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("came_from_id", sa.Integer(), nullable=True),
        sa.Column(
            "changed_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["by_id"], ["staff.id"], name=op.f("fk_map_draft_by_id_staff")),
        sa.ForeignKeyConstraint(
            ["came_from_id"], ["build.id"], name=op.f("fk_map_draft_came_from_id_build")
        ),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_map_draft_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("ticket_id", name=op.f("pk_map_draft")),
    )
    with op.batch_alter_table("map_draft", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_map_draft_by_id"), ["by_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_map_draft_came_from_id"), ["came_from_id"], unique=False
        )

    op.create_table(
        "test_log",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("ticket_id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(), nullable=False),
        sa.Column("previous_digest", sa.String(), nullable=False),
        sa.Column("document", sa.String(), nullable=False),
        sa.Column("key_id", sa.Integer(), nullable=False),
        sa.Column("signed_by_id", sa.Integer(), nullable=False),
        sa.Column(
            "signed_at",
            sa.String(32).with_variant(sa.DateTime(timezone=True), "postgresql"),
            nullable=False,
        ),
        sa.Column("corrects_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(
            ["build_id"], ["build.id"], name=op.f("fk_test_log_build_id_build")
        ),
        sa.ForeignKeyConstraint(
            ["corrects_id"], ["test_log.id"], name=op.f("fk_test_log_corrects_id_test_log")
        ),
        sa.ForeignKeyConstraint(
            ["key_id"], ["signing_key.id"], name=op.f("fk_test_log_key_id_signing_key")
        ),
        sa.ForeignKeyConstraint(
            ["signed_by_id"], ["staff.id"], name=op.f("fk_test_log_signed_by_id_staff")
        ),
        sa.ForeignKeyConstraint(
            ["ticket_id"], ["ticket.id"], name=op.f("fk_test_log_ticket_id_ticket")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_test_log")),
        sa.UniqueConstraint("digest", name=op.f("uq_test_log_digest")),
        sa.UniqueConstraint("number", name=op.f("uq_test_log_number")),
    )
    with op.batch_alter_table("test_log", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_test_log_build_id"), ["build_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_test_log_corrects_id"), ["corrects_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_test_log_key_id"), ["key_id"], unique=False)
        batch_op.create_index(
            batch_op.f("ix_test_log_signed_by_id"), ["signed_by_id"], unique=False
        )
        batch_op.create_index(batch_op.f("ix_test_log_ticket_id"), ["ticket_id"], unique=False)

    op.create_table(
        "wire",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("component_id", sa.Integer(), nullable=False),
        sa.Column("lead", sa.String(), nullable=False),
        sa.Column("pad", sa.String(), nullable=False),
        sa.Column("port", sa.String(), nullable=True),
        sa.Column("protocol", sa.String(), nullable=True),
        sa.ForeignKeyConstraint(["build_id"], ["build.id"], name=op.f("fk_wire_build_id_build")),
        sa.ForeignKeyConstraint(
            ["component_id"], ["component.id"], name=op.f("fk_wire_component_id_component")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_wire")),
        sa.UniqueConstraint(
            "component_id", "lead", "pad", name=op.f("uq_wire_component_id_lead_pad")
        ),
    )
    with op.batch_alter_table("wire", schema=None) as batch_op:
        batch_op.create_index(batch_op.f("ix_wire_build_id"), ["build_id"], unique=False)
        batch_op.create_index(batch_op.f("ix_wire_component_id"), ["component_id"], unique=False)
        batch_op.create_index("ix_wire_pad", ["pad", "build_id"], unique=False)
        batch_op.create_index("ix_wire_port", ["port", "build_id"], unique=False)
        batch_op.create_index("ix_wire_protocol", ["protocol", "build_id"], unique=False)
