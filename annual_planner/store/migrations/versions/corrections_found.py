"""Find what corrects a signed record without going through all of them."""

from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the index."""
    op.create_index(op.f("ix_signed_record_corrects_id"), "signed_record", ["corrects_id"], unique=False)
