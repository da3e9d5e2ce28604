"""The shop's hours, rooms and people, and how work is laid out on them."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make what this program newly keeps; tables that others refer to first."""
    _shop_thing()
    _days_off()
    _open_hours()
    _owner_wish()
    _planned_visit()
    _laid_out()
    _card_pin()
    _part_arrival()


def _shop_thing() -> None:
    op.create_table(
        "shop_thing",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shop_thing")),
        sa.UniqueConstraint("name", name=op.f("uq_shop_thing_name")),
        sqlite_autoincrement=True,
    )


def _days_off() -> None:
    op.create_table(
        "days_off",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("first_on", sa.Date(), nullable=False),
        sa.Column("last_on", sa.Date(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_days_off_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_days_off")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_days_off_person_id"), "days_off", ["person_id"], unique=False)


def _open_hours() -> None:
    op.create_table(
        "open_hours",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("weekday", sa.Integer(), nullable=False),
        sa.Column("from_minute", sa.Integer(), nullable=False),
        sa.Column("to_minute", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_open_hours_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_open_hours")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_open_hours_person_id"), "open_hours", ["person_id"], unique=False)


def _owner_wish() -> None:
    op.create_table(
        "owner_wish",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=False),
        sa.Column("first_on", sa.Date(), nullable=False),
        sa.Column("last_on", sa.Date(), nullable=False),
        sa.Column("blocked", sa.Boolean(), nullable=False),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name=op.f("fk_owner_wish_aircraft_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_owner_wish")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_owner_wish_aircraft_id"), "owner_wish", ["aircraft_id"], unique=False)


def _planned_visit() -> None:
    op.create_table(
        "planned_visit",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=False),
        sa.Column("week_on", sa.Date(), nullable=False),
        sa.Column("bay", sa.Text(), nullable=False),
        sa.Column("weeks", sa.Integer(), nullable=False),
        sa.Column("hours", sa.Integer(), nullable=True),
        sa.Column("pinned", sa.Boolean(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name=op.f("fk_planned_visit_aircraft_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_planned_visit")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_planned_visit_aircraft_id"), "planned_visit", ["aircraft_id"], unique=False)
    op.create_index("ix_planned_visit_week", "planned_visit", ["week_on"], unique=False)


def _laid_out() -> None:
    op.create_table(
        "laid_out",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("package_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.Text(), nullable=False),
        sa.Column("finish_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("likely_on", sa.Date(), nullable=True),
        sa.Column("promise_on", sa.Date(), nullable=True),
        sa.Column("proven", sa.Boolean(), nullable=False),
        sa.Column("bars", sa.JSON(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["package_id"], ["work_package.id"], name=op.f("fk_laid_out_package_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_laid_out")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_laid_out_package_id"), "laid_out", ["package_id"], unique=False)


def _card_pin() -> None:
    op.create_table(
        "card_pin",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("card_id", sa.Integer(), nullable=False),
        sa.Column("starts_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["card_id"], ["work_card.id"], name=op.f("fk_card_pin_card_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_card_pin_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_card_pin")),
        sa.UniqueConstraint("card_id", name=op.f("uq_card_pin_card_id")),
        sqlite_autoincrement=True,
    )


def _part_arrival() -> None:
    op.create_table(
        "part_arrival",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("package_id", sa.Integer(), nullable=False),
        sa.Column("card_id", sa.Integer(), nullable=True),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("arrives_on", sa.Date(), nullable=True),
        sa.Column("arrived_on", sa.Date(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["card_id"], ["work_card.id"], name=op.f("fk_part_arrival_card_id")),
        sa.ForeignKeyConstraint(["package_id"], ["work_package.id"], name=op.f("fk_part_arrival_package_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_part_arrival")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_part_arrival_package_id"), "part_arrival", ["package_id"], unique=False)
