"""The first schema: people, airplanes and their records, due state, work packages, audit trail."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make every table; those that others refer to first."""
    _assembly()
    _audit()
    _fleet_fact()
    _person()
    _aircraft()
    _certificate()
    _aircraft_standing()
    _discrepancy()
    _installation()
    _meter()
    _requirement()
    _work_package()
    _compliance()
    _due()
    _meter_reading()
    _package_item()
    _work_card()


def _assembly() -> None:
    op.create_table(
        "assembly",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("maker", sa.Text(), nullable=False),
        sa.Column("model", sa.Text(), nullable=False),
        sa.Column("serial", sa.Text(), nullable=False),
        sa.Column("hours_since_overhaul_at_fitting", sa.Integer(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_assembly"),
        sqlite_autoincrement=True,
    )


def _audit() -> None:
    op.create_table(
        "audit",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("changed_by", sa.Text(), nullable=False),
        sa.Column("table_name", sa.Text(), nullable=False),
        sa.Column("row_id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=True),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("before", sa.JSON(), nullable=False),
        sa.Column("after", sa.JSON(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_audit"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_audit_aircraft_id", "audit", ["aircraft_id"], unique=False)
    op.create_index("ix_audit_row", "audit", ["table_name", "row_id"], unique=False)


def _fleet_fact() -> None:
    op.create_table(
        "fleet_fact",
        sa.Column("key", sa.String(length=60), nullable=False),
        sa.Column("value", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("key", name="pk_fleet_fact"),
        sqlite_autoincrement=True,
    )


def _person() -> None:
    op.create_table(
        "person",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("roles", sa.JSON(), nullable=False),
        sa.Column("contact", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_person"),
        sa.UniqueConstraint("name", name="uq_person_name"),
        sqlite_autoincrement=True,
    )


def _aircraft() -> None:
    op.create_table(
        "aircraft",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("registration", sa.Text(), nullable=False),
        sa.Column("maker", sa.Text(), nullable=False),
        sa.Column("model", sa.Text(), nullable=False),
        sa.Column("serial", sa.Text(), nullable=False),
        sa.Column("year_built", sa.Integer(), nullable=True),
        sa.Column("category", sa.Text(), nullable=False),
        sa.Column("uses", sa.JSON(), nullable=False),
        sa.Column("features", sa.JSON(), nullable=False),
        sa.Column("counts", sa.JSON(), nullable=False),
        sa.Column("owner_id", sa.Integer(), nullable=True),
        sa.Column("base", sa.Text(), nullable=False),
        sa.Column("stated_hours_per_month", sa.Integer(), nullable=True),
        sa.Column("notes", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["owner_id"], ["person.id"], name="fk_aircraft_owner_id"),
        sa.PrimaryKeyConstraint("id", name="pk_aircraft"),
        sa.UniqueConstraint("registration", name="uq_aircraft_registration"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_aircraft_owner_id", "aircraft", ["owner_id"], unique=False)


def _certificate() -> None:
    op.create_table(
        "certificate",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("ratings", sa.JSON(), nullable=False),
        sa.Column("valid_from", sa.Date(), nullable=True),
        sa.Column("expires_on", sa.Date(), nullable=True),
        sa.Column("activity_met", sa.Boolean(), nullable=False),
        sa.Column("base_moved_on", sa.Date(), nullable=True),
        sa.Column("base_notice_on", sa.Date(), nullable=True),
        sa.Column("months_worked_in_24", sa.Integer(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name="fk_certificate_person_id"),
        sa.PrimaryKeyConstraint("id", name="pk_certificate"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_certificate_person_id", "certificate", ["person_id"], unique=False)


def _aircraft_standing() -> None:
    op.create_table(
        "aircraft_standing",
        sa.Column("aircraft_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("comes_first_on", sa.Date(), nullable=False),
        sa.Column("first_requirement_id", sa.Integer(), nullable=True),
        sa.Column("first_title", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("overdue", sa.Integer(), nullable=False),
        sa.Column("due_soon", sa.Integer(), nullable=False),
        sa.Column("annual_due_on", sa.Date(), nullable=True),
        sa.Column("hours_now", sa.Integer(), nullable=True),
        sa.Column("landings_now", sa.Integer(), nullable=True),
        sa.Column("read_on", sa.Date(), nullable=True),
        sa.Column("hours_per_month", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name="fk_aircraft_standing_aircraft_id"),
        sa.PrimaryKeyConstraint("aircraft_id", name="pk_aircraft_standing"),
    )
    op.create_index(
        "ix_aircraft_standing_comes_first",
        "aircraft_standing",
        ["comes_first_on", "aircraft_id"],
        unique=False,
    )
    op.create_index(
        "ix_aircraft_standing_state_comes_first",
        "aircraft_standing",
        ["state", "comes_first_on"],
        unique=False,
    )


def _discrepancy() -> None:
    op.create_table(
        "discrepancy",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=False),
        sa.Column("found_on", sa.Date(), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("airworthy", sa.Boolean(), nullable=True),
        sa.Column("disposition", sa.Text(), nullable=False),
        sa.Column("closed_on", sa.Date(), nullable=True),
        sa.Column("hours_estimate", sa.Integer(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name="fk_discrepancy_aircraft_id"),
        sa.PrimaryKeyConstraint("id", name="pk_discrepancy"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_discrepancy_aircraft_id", "discrepancy", ["aircraft_id"], unique=False)


def _installation() -> None:
    op.create_table(
        "installation",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("assembly_id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("fitted_on", sa.Date(), nullable=False),
        sa.Column("airframe_hours_at_fitting", sa.Integer(), nullable=False),
        sa.Column("assembly_hours_at_fitting", sa.Integer(), nullable=False),
        sa.Column("removed_on", sa.Date(), nullable=True),
        sa.Column("airframe_hours_at_removal", sa.Integer(), nullable=True),
        sa.Column("assembly_hours_at_removal", sa.Integer(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name="fk_installation_aircraft_id"),
        sa.ForeignKeyConstraint(["assembly_id"], ["assembly.id"], name="fk_installation_assembly_id"),
        sa.PrimaryKeyConstraint("id", name="pk_installation"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_installation_aircraft_id", "installation", ["aircraft_id"], unique=False)
    op.create_index("ix_installation_assembly_id", "installation", ["assembly_id"], unique=False)


def _meter() -> None:
    op.create_table(
        "meter",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("fitted_on", sa.Date(), nullable=False),
        sa.Column("offset_hours", sa.Integer(), nullable=False),
        sa.Column("of_record", sa.Boolean(), nullable=False),
        sa.Column("replaced_on", sa.Date(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name="fk_meter_aircraft_id"),
        sa.PrimaryKeyConstraint("id", name="pk_meter"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_meter_aircraft_id", "meter", ["aircraft_id"], unique=False)


def _requirement() -> None:
    op.create_table(
        "requirement",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=False),
        sa.Column("assembly_id", sa.Integer(), nullable=True),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("source", sa.Text(), nullable=False),
        sa.Column("citation", sa.Text(), nullable=False),
        sa.Column("force", sa.Text(), nullable=False),
        sa.Column("every_hours", sa.Integer(), nullable=True),
        sa.Column("every_cycles", sa.Integer(), nullable=True),
        sa.Column("every_calendar_months", sa.Integer(), nullable=True),
        sa.Column("every_months", sa.Integer(), nullable=True),
        sa.Column("every_days", sa.Integer(), nullable=True),
        sa.Column("logic", sa.Text(), nullable=False),
        sa.Column("recurring", sa.Boolean(), nullable=False),
        sa.Column("enroute_excess_hours", sa.Integer(), nullable=False),
        sa.Column("effective_on", sa.Date(), nullable=True),
        sa.Column("effective_hours", sa.Integer(), nullable=True),
        sa.Column("fixed_on", sa.Date(), nullable=True),
        sa.Column("directive_number", sa.Text(), nullable=False),
        sa.Column("directive_revised_on", sa.Date(), nullable=True),
        sa.Column("terminated", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name="fk_requirement_aircraft_id"),
        sa.ForeignKeyConstraint(["assembly_id"], ["assembly.id"], name="fk_requirement_assembly_id"),
        sa.PrimaryKeyConstraint("id", name="pk_requirement"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_requirement_aircraft_id", "requirement", ["aircraft_id"], unique=False)
    op.create_index("ix_requirement_assembly_id", "requirement", ["assembly_id"], unique=False)
    op.create_index("ix_requirement_key", "requirement", ["key"], unique=False)


def _work_package() -> None:
    op.create_table(
        "work_package",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("start_on", sa.Date(), nullable=False),
        sa.Column("horizon_on", sa.Date(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("hours_at_start", sa.Integer(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name="fk_work_package_aircraft_id"),
        sa.PrimaryKeyConstraint("id", name="pk_work_package"),
        sa.UniqueConstraint("number", name="uq_work_package_number"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_work_package_aircraft_id", "work_package", ["aircraft_id"], unique=False)
    op.create_index("ix_work_package_state", "work_package", ["state"], unique=False)


def _compliance() -> None:
    op.create_table(
        "compliance",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("requirement_id", sa.Integer(), nullable=False),
        sa.Column("done_on", sa.Date(), nullable=False),
        sa.Column("done_hours", sa.Integer(), nullable=True),
        sa.Column("done_cycles", sa.Integer(), nullable=True),
        sa.Column("method", sa.Text(), nullable=False),
        sa.Column("entry", sa.Text(), nullable=False),
        sa.Column("done_by", sa.Text(), nullable=False),
        sa.Column("enroute", sa.Boolean(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["requirement_id"], ["requirement.id"], name="fk_compliance_requirement_id"),
        sa.PrimaryKeyConstraint("id", name="pk_compliance"),
        sqlite_autoincrement=True,
    )
    op.create_index(
        "ix_compliance_requirement_done_on", "compliance", ["requirement_id", "done_on"], unique=False
    )


def _due() -> None:
    op.create_table(
        "due",
        sa.Column("requirement_id", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=True),
        sa.Column("due_hours", sa.Integer(), nullable=True),
        sa.Column("due_cycles", sa.Integer(), nullable=True),
        sa.Column("hours_left", sa.Integer(), nullable=True),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("first_limit", sa.Text(), nullable=False),
        sa.Column("forecast_on", sa.Date(), nullable=True),
        sa.Column("early_on", sa.Date(), nullable=True),
        sa.Column("late_on", sa.Date(), nullable=True),
        sa.Column("comes_first_on", sa.Date(), nullable=False),
        sa.Column("worked_out_on", sa.Date(), nullable=False),
        sa.Column("last_on", sa.Date(), nullable=True),
        sa.Column("last_hours", sa.Integer(), nullable=True),
        sa.Column("counts_on", sa.Text(), nullable=False),
        sa.Column("interval", sa.Text(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name="fk_due_aircraft_id"),
        sa.ForeignKeyConstraint(["requirement_id"], ["requirement.id"], name="fk_due_requirement_id"),
        sa.PrimaryKeyConstraint("requirement_id", name="pk_due"),
    )
    op.create_index("ix_due_aircraft_comes_first", "due", ["aircraft_id", "comes_first_on"], unique=False)
    op.create_index("ix_due_comes_first", "due", ["comes_first_on", "requirement_id"], unique=False)
    op.create_index("ix_due_state_comes_first", "due", ["state", "comes_first_on"], unique=False)


def _meter_reading() -> None:
    op.create_table(
        "meter_reading",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("meter_id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=False),
        sa.Column("read_on", sa.Date(), nullable=False),
        sa.Column("meter_hours", sa.Integer(), nullable=False),
        sa.Column("landings", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name="fk_meter_reading_aircraft_id"),
        sa.ForeignKeyConstraint(["meter_id"], ["meter.id"], name="fk_meter_reading_meter_id"),
        sa.PrimaryKeyConstraint("id", name="pk_meter_reading"),
        sqlite_autoincrement=True,
    )
    op.create_index(
        "ix_meter_reading_aircraft_read_on", "meter_reading", ["aircraft_id", "read_on"], unique=False
    )
    op.create_index("ix_meter_reading_meter_id", "meter_reading", ["meter_id"], unique=False)


def _package_item() -> None:
    op.create_table(
        "package_item",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("package_id", sa.Integer(), nullable=False),
        sa.Column("requirement_id", sa.Integer(), nullable=False),
        sa.Column("proposed_now", sa.Boolean(), nullable=False),
        sa.Column("do_now", sa.Boolean(), nullable=False),
        sa.Column("reason", sa.Text(), nullable=False),
        sa.Column("given_up_hours", sa.Integer(), nullable=True),
        sa.Column("given_up_days", sa.Integer(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["package_id"], ["work_package.id"], name="fk_package_item_package_id"),
        sa.ForeignKeyConstraint(
            ["requirement_id"], ["requirement.id"], name="fk_package_item_requirement_id"
        ),
        sa.PrimaryKeyConstraint("id", name="pk_package_item"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_package_item_package_id", "package_item", ["package_id"], unique=False)


def _work_card() -> None:
    op.create_table(
        "work_card",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("package_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("key", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("phase", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("hours_low", sa.Integer(), nullable=False),
        sa.Column("hours_likely", sa.Integer(), nullable=False),
        sa.Column("hours_high", sa.Integer(), nullable=False),
        sa.Column("content", sa.JSON(), nullable=False),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("included", sa.Boolean(), nullable=False),
        sa.Column("doer", sa.Text(), nullable=False),
        sa.Column("signer", sa.Text(), nullable=False),
        sa.Column("entry", sa.Text(), nullable=False),
        sa.Column("assigned_person_id", sa.Integer(), nullable=True),
        sa.Column("requirement_id", sa.Integer(), nullable=True),
        sa.Column("discrepancy_id", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["assigned_person_id"], ["person.id"], name="fk_work_card_assigned_person_id"
        ),
        sa.ForeignKeyConstraint(["discrepancy_id"], ["discrepancy.id"], name="fk_work_card_discrepancy_id"),
        sa.ForeignKeyConstraint(["package_id"], ["work_package.id"], name="fk_work_card_package_id"),
        sa.ForeignKeyConstraint(["requirement_id"], ["requirement.id"], name="fk_work_card_requirement_id"),
        sa.PrimaryKeyConstraint("id", name="pk_work_card"),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_work_card_package_id", "work_card", ["package_id"], unique=False)
