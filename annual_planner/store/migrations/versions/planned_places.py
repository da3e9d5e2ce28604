"""What is planned to go into each place while the plugs are out."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make what this program newly keeps; nothing is planned in rotations of before."""
    planned = sa.Column("planned", sa.JSON(), nullable=False, server_default=sa.text("'{}'"))
    op.add_column("plug_rotation", planned)
