"""Entries, signatures with their seals, and filed papers."""

import sqlalchemy as sa
from alembic import op

from annual_planner.store.guards import make_guards

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make what this program newly keeps; tables that others refer to first."""
    _person_key()
    _filed_paper()
    _signed_record()
    _log_entry()
    make_guards(op.get_bind())


def _person_key() -> None:
    op.create_table(
        "person_key",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("public_key", sa.LargeBinary(), nullable=False),
        sa.Column("wrapped_key", sa.LargeBinary(), nullable=False),
        sa.Column("salt", sa.LargeBinary(), nullable=False),
        sa.Column("wrapping", sa.JSON(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("closed_why", sa.Text(), nullable=False),
        sa.Column("failed_tries", sa.Integer(), nullable=False),
        sa.Column("waits_until", sa.DateTime(timezone=True), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_person_key_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person_key")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_person_key_person_id"), "person_key", ["person_id"], unique=False)


def _filed_paper() -> None:
    op.create_table(
        "filed_paper",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=True),
        sa.Column("package_id", sa.Integer(), nullable=True),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("made_by", sa.Text(), nullable=False),
        sa.Column("pages", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("last_seal", sa.Text(), nullable=False),
        sa.Column("pdf", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name=op.f("fk_filed_paper_aircraft_id")),
        sa.ForeignKeyConstraint(["package_id"], ["work_package.id"], name=op.f("fk_filed_paper_package_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_filed_paper")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_filed_paper_aircraft_id"), "filed_paper", ["aircraft_id"], unique=False)
    op.create_index(op.f("ix_filed_paper_package_id"), "filed_paper", ["package_id"], unique=False)


def _signed_record() -> None:
    op.create_table(
        "signed_record",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("link", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("subject_table", sa.Text(), nullable=False),
        sa.Column("subject_id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=True),
        sa.Column("package_id", sa.Integer(), nullable=True),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("act", sa.LargeBinary(), nullable=False),
        sa.Column("signature", sa.LargeBinary(), nullable=False),
        sa.Column("key_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("meaning", sa.Text(), nullable=False),
        sa.Column("work_on", sa.Date(), nullable=True),
        sa.Column("signed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("previous_seal", sa.Text(), nullable=False),
        sa.Column("seal", sa.Text(), nullable=False),
        sa.Column("corrects_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name=op.f("fk_signed_record_aircraft_id")),
        sa.ForeignKeyConstraint(
            ["corrects_id"], ["signed_record.id"], name=op.f("fk_signed_record_corrects_id")
        ),
        sa.ForeignKeyConstraint(["key_id"], ["person_key.id"], name=op.f("fk_signed_record_key_id")),
        sa.ForeignKeyConstraint(
            ["package_id"], ["work_package.id"], name=op.f("fk_signed_record_package_id")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_signed_record_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_signed_record")),
        sa.UniqueConstraint("link", name=op.f("uq_signed_record_link")),
        sa.UniqueConstraint("seal", name=op.f("uq_signed_record_seal")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_signed_record_aircraft_id"), "signed_record", ["aircraft_id"], unique=False)
    op.create_index(op.f("ix_signed_record_package_id"), "signed_record", ["package_id"], unique=False)
    op.create_index(op.f("ix_signed_record_person_id"), "signed_record", ["person_id"], unique=False)
    op.create_index(
        "ix_signed_record_subject", "signed_record", ["subject_table", "subject_id"], unique=False
    )


def _log_entry() -> None:
    op.create_table(
        "log_entry",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=False),
        sa.Column("assembly_id", sa.Integer(), nullable=True),
        sa.Column("package_id", sa.Integer(), nullable=True),
        sa.Column("card_id", sa.Integer(), nullable=True),
        sa.Column("discrepancy_id", sa.Integer(), nullable=True),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("work_on", sa.Date(), nullable=False),
        sa.Column("approved", sa.Boolean(), nullable=True),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("facts", sa.JSON(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("corrects_id", sa.Integer(), nullable=True),
        sa.Column("correction_why", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name=op.f("fk_log_entry_aircraft_id")),
        sa.ForeignKeyConstraint(["assembly_id"], ["assembly.id"], name=op.f("fk_log_entry_assembly_id")),
        sa.ForeignKeyConstraint(["card_id"], ["work_card.id"], name=op.f("fk_log_entry_card_id")),
        sa.ForeignKeyConstraint(["corrects_id"], ["log_entry.id"], name=op.f("fk_log_entry_corrects_id")),
        sa.ForeignKeyConstraint(
            ["discrepancy_id"], ["discrepancy.id"], name=op.f("fk_log_entry_discrepancy_id")
        ),
        sa.ForeignKeyConstraint(["package_id"], ["work_package.id"], name=op.f("fk_log_entry_package_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_log_entry")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_log_entry_aircraft", "log_entry", ["aircraft_id", "work_on"], unique=False)
    op.create_index(op.f("ix_log_entry_package_id"), "log_entry", ["package_id"], unique=False)
