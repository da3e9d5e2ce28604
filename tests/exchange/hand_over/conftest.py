from tests.fleets import fleet, server_template

__all__ = ["fleet", "server_template"]
