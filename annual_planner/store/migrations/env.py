"""Run the steps on the connection that the program hands over; there is no ini file."""

from alembic import context

from annual_planner.store.named_steps import reached
from annual_planner.store.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,
    compare_type=True,
    transaction_per_migration=False,
    on_version_apply=lambda **told: reached("revision applied"),
)
context.run_migrations()
