"""Signed records that came with an airplane from an earlier keeper."""

import sqlalchemy as sa
from alembic import op

from annual_planner.store.guards import RECEIVED, make_guards

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make what this program newly keeps; tables that others refer to first."""
    _received_chain()
    _received_record()
    make_guards(op.get_bind(), RECEIVED)


def _received_chain() -> None:
    op.create_table(
        "received_chain",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=False),
        sa.Column("keeper", sa.Text(), nullable=False),
        sa.Column("handed_on", sa.Date(), nullable=False),
        sa.Column("last_link", sa.Integer(), nullable=False),
        sa.Column("last_seal", sa.Text(), nullable=False),
        sa.Column("file_sha256", sa.Text(), nullable=False),
        sa.Column("taken_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("taken_by", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name=op.f("fk_received_chain_aircraft_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_received_chain")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_received_chain_aircraft_id"), "received_chain", ["aircraft_id"], unique=False)


def _received_record() -> None:
    op.create_table(
        "received_record",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("chain_id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=False),
        sa.Column("package_id", sa.Integer(), nullable=True),
        sa.Column("row_id", sa.Integer(), nullable=True),
        sa.Column("link", sa.Integer(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("subject_table", sa.Text(), nullable=False),
        sa.Column("subject_id", sa.Integer(), nullable=False),
        sa.Column("signed_aircraft_id", sa.Integer(), nullable=True),
        sa.Column("signed_package_id", sa.Integer(), nullable=True),
        sa.Column("signed_key_id", sa.Integer(), nullable=False),
        sa.Column("signed_person_id", sa.Integer(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("digest", sa.Text(), nullable=False),
        sa.Column("act", sa.LargeBinary(), nullable=False),
        sa.Column("signature", sa.LargeBinary(), nullable=False),
        sa.Column("public_key", sa.LargeBinary(), nullable=False),
        sa.Column("person", sa.Text(), nullable=False),
        sa.Column("meaning", sa.Text(), nullable=False),
        sa.Column("work_on", sa.Date(), nullable=True),
        sa.Column("signed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("previous_seal", sa.Text(), nullable=False),
        sa.Column("seal", sa.Text(), nullable=False),
        sa.Column("corrects_link", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(
            ["aircraft_id"], ["aircraft.id"], name=op.f("fk_received_record_aircraft_id")
        ),
        sa.ForeignKeyConstraint(
            ["chain_id"], ["received_chain.id"], name=op.f("fk_received_record_chain_id")
        ),
        sa.ForeignKeyConstraint(
            ["package_id"], ["work_package.id"], name=op.f("fk_received_record_package_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_received_record")),
        sa.UniqueConstraint("chain_id", "link", name=op.f("uq_received_record_chain_id_link")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_received_record_aircraft_id"), "received_record", ["aircraft_id"], unique=False)
    op.create_index(op.f("ix_received_record_package_id"), "received_record", ["package_id"], unique=False)
