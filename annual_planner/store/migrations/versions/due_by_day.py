"""From when on a kept due line stands otherwise though no record changes, and to which day it is kept."""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the columns; what is kept to no day is worked out anew as soon as the fleet is open."""
    op.add_column("due", sa.Column("cycles_left", sa.Integer(), nullable=True))
    op.add_column("due", sa.Column("passed_on", sa.Date(), nullable=True))
    op.add_column("due", sa.Column("looks_again_on", sa.Date(), nullable=True))
    op.drop_column("due", "worked_out_on")
    op.create_index("ix_due_looks_again", "due", ["looks_again_on", "aircraft_id"], unique=False)
    op.add_column("aircraft_standing", sa.Column("worked_out_on", sa.Date(), nullable=True))
    op.add_column("aircraft_standing", sa.Column("looks_again_on", sa.Date(), nullable=True))
