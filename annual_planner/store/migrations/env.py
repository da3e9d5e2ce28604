"""Run the steps on the connection that the program hands over; there is no ini file."""

from alembic import context

from annual_planner.store.mappings import Base

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    render_as_batch=True,
    compare_type=True,
    transaction_per_migration=False,
)
context.run_migrations()
