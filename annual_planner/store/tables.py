"""Every mapped table of the fleet; imported where all of them are wanted, and not before."""

from annual_planner.store import (
    doing_mappings,
    mappings,
    plug_mappings,
    received_mappings,
    record_mappings,
    shop_mappings,
    work_mappings,
)
from annual_planner.store.mappings import Base

MODULES = (
    mappings,
    work_mappings,
    plug_mappings,
    doing_mappings,
    record_mappings,
    shop_mappings,
    received_mappings,
)
"""The modules that map tables, in the order of their migrations."""

METADATA = Base.metadata
"""The schema as it is mapped today."""
