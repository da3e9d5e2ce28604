"""What an hour of each person costs, and whose public holidays the shop keeps."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make what this program newly keeps; no hour has a cost of its own, and no country is chosen."""
    op.add_column("person", sa.Column("cost_per_hour", sa.Integer(), nullable=True))
    op.create_table(
        "public_holidays",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("country", sa.Text(), nullable=False),
        sa.Column("subdivision", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_public_holidays")),
        sqlite_autoincrement=True,
    )
