"""Spark plugs with their stays and looks, and compression tests."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make what this program newly keeps; tables that others refer to first."""
    op.add_column("assembly", sa.Column("type_key", sa.Text(), server_default="", nullable=False))
    _spark_plug()
    _cylinder_change()
    _compression_test()
    _plug_rotation()
    _cylinder_reading()
    _plug_check()
    _plug_stay()


def _spark_plug() -> None:
    op.create_table(
        "spark_plug",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("type_key", sa.Text(), nullable=False),
        sa.Column("tag", sa.Text(), nullable=False),
        sa.Column("bought_on", sa.Date(), nullable=True),
        sa.Column("hours_before", sa.Integer(), nullable=True),
        sa.Column("scrapped_on", sa.Date(), nullable=True),
        sa.Column("scrapped_why", sa.Text(), nullable=False),
        sa.Column("spare", sa.Boolean(), server_default=sa.false(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_spark_plug")),
        sa.UniqueConstraint("tag", name=op.f("uq_spark_plug_tag")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_spark_plug_spare", "spark_plug", ["spare", "type_key", "tag"], unique=False)


def _cylinder_change() -> None:
    op.create_table(
        "cylinder_change",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("assembly_id", sa.Integer(), nullable=False),
        sa.Column("cylinder", sa.Integer(), nullable=False),
        sa.Column("changed_on", sa.Date(), nullable=False),
        sa.Column("engine_hours", sa.Integer(), nullable=True),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("serial", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["assembly_id"], ["assembly.id"], name=op.f("fk_cylinder_change_assembly_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cylinder_change")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_cylinder_change_assembly_id"), "cylinder_change", ["assembly_id"], unique=False)


def _compression_test() -> None:
    op.create_table(
        "compression_test",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("assembly_id", sa.Integer(), nullable=False),
        sa.Column("tested_on", sa.Date(), nullable=False),
        sa.Column("engine_hours", sa.Integer(), nullable=True),
        sa.Column("minutes_since_shutdown", sa.Integer(), nullable=True),
        sa.Column("oil_temperature_c", sa.Double(), nullable=True),
        sa.Column("cold", sa.Boolean(), nullable=False),
        sa.Column("regulated_psi", sa.Double(), nullable=False),
        sa.Column("restrictor_in", sa.Double(), nullable=True),
        sa.Column("tester", sa.Text(), nullable=False),
        sa.Column("master_psi", sa.Double(), nullable=True),
        sa.Column("ambient_psi_a", sa.Double(), nullable=True),
        sa.Column("elevation_ft", sa.Double(), nullable=True),
        sa.Column("altimeter_inhg", sa.Double(), nullable=True),
        sa.Column("after_work", sa.Text(), nullable=False),
        sa.Column("safety_ticked", sa.JSON(), nullable=False),
        sa.Column("package_id", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["assembly_id"], ["assembly.id"], name=op.f("fk_compression_test_assembly_id")
        ),
        sa.ForeignKeyConstraint(
            ["package_id"], ["work_package.id"], name=op.f("fk_compression_test_package_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_compression_test")),
        sqlite_autoincrement=True,
    )
    op.create_index(
        "ix_compression_test_assembly", "compression_test", ["assembly_id", "tested_on"], unique=False
    )
    op.create_index(op.f("ix_compression_test_package_id"), "compression_test", ["package_id"], unique=False)


def _plug_rotation() -> None:
    op.create_table(
        "plug_rotation",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("assembly_id", sa.Integer(), nullable=False),
        sa.Column("rotated_on", sa.Date(), nullable=False),
        sa.Column("engine_hours", sa.Integer(), nullable=False),
        sa.Column("scheme_key", sa.Text(), nullable=False),
        sa.Column("moved", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("departures", sa.JSON(), nullable=False),
        sa.Column("new_gaskets", sa.Integer(), nullable=True),
        sa.Column("package_id", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["assembly_id"], ["assembly.id"], name=op.f("fk_plug_rotation_assembly_id")),
        sa.ForeignKeyConstraint(
            ["package_id"], ["work_package.id"], name=op.f("fk_plug_rotation_package_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plug_rotation")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_plug_rotation_assembly", "plug_rotation", ["assembly_id", "rotated_on"], unique=False)
    op.create_index(op.f("ix_plug_rotation_package_id"), "plug_rotation", ["package_id"], unique=False)


def _cylinder_reading() -> None:
    op.create_table(
        "cylinder_reading",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("test_id", sa.Integer(), nullable=False),
        sa.Column("cylinder", sa.Integer(), nullable=False),
        sa.Column("reading_psi", sa.Double(), nullable=False),
        sa.Column("first_psi", sa.Double(), nullable=True),
        sa.Column("heard", sa.JSON(), nullable=False),
        sa.Column("rechecked", sa.JSON(), nullable=False),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["test_id"], ["compression_test.id"], name=op.f("fk_cylinder_reading_test_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_cylinder_reading")),
        sa.UniqueConstraint("test_id", "cylinder", name=op.f("uq_cylinder_reading_test_id_cylinder")),
        sqlite_autoincrement=True,
    )


def _plug_check() -> None:
    op.create_table(
        "plug_check",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("plug_id", sa.Integer(), nullable=False),
        sa.Column("assembly_id", sa.Integer(), nullable=True),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("looked_on", sa.Date(), nullable=False),
        sa.Column("engine_hours", sa.Integer(), nullable=True),
        sa.Column("stage", sa.Text(), nullable=False),
        sa.Column("conditions", sa.JSON(), nullable=False),
        sa.Column("damage", sa.JSON(), nullable=False),
        sa.Column("dropped", sa.Boolean(), nullable=False),
        sa.Column("gaps_in", sa.JSON(), nullable=False),
        sa.Column("set_gap_in", sa.Double(), nullable=True),
        sa.Column("electrode_in", sa.Double(), nullable=True),
        sa.Column("oval_in", sa.JSON(), nullable=True),
        sa.Column("resistance_ohm", sa.Double(), nullable=True),
        sa.Column("sparks_under_pressure", sa.Boolean(), nullable=True),
        sa.Column("verdict", sa.Text(), nullable=False),
        sa.Column("overruled_because", sa.Text(), nullable=False),
        sa.Column("rotation_id", sa.Integer(), nullable=True),
        sa.Column("note", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["assembly_id"], ["assembly.id"], name=op.f("fk_plug_check_assembly_id")),
        sa.ForeignKeyConstraint(["plug_id"], ["spark_plug.id"], name=op.f("fk_plug_check_plug_id")),
        sa.ForeignKeyConstraint(
            ["rotation_id"], ["plug_rotation.id"], name=op.f("fk_plug_check_rotation_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plug_check")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_plug_check_assembly", "plug_check", ["assembly_id", "looked_on"], unique=False)
    op.create_index(op.f("ix_plug_check_plug_id"), "plug_check", ["plug_id"], unique=False)
    op.create_index(op.f("ix_plug_check_rotation_id"), "plug_check", ["rotation_id"], unique=False)


def _plug_stay() -> None:
    op.create_table(
        "plug_stay",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("plug_id", sa.Integer(), nullable=False),
        sa.Column("assembly_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("fitted_on", sa.Date(), nullable=False),
        sa.Column("engine_hours_at_fitting", sa.Integer(), nullable=False),
        sa.Column("removed_on", sa.Date(), nullable=True),
        sa.Column("engine_hours_at_removal", sa.Integer(), nullable=True),
        sa.Column("gasket_out", sa.Boolean(), nullable=True),
        sa.Column("fitted_by_rotation_id", sa.Integer(), nullable=True),
        sa.Column("removed_by_rotation_id", sa.Integer(), nullable=True),
        sa.Column("why", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["assembly_id"], ["assembly.id"], name=op.f("fk_plug_stay_assembly_id")),
        sa.ForeignKeyConstraint(
            ["fitted_by_rotation_id"], ["plug_rotation.id"], name=op.f("fk_plug_stay_fitted_by_rotation_id")
        ),
        sa.ForeignKeyConstraint(["plug_id"], ["spark_plug.id"], name=op.f("fk_plug_stay_plug_id")),
        sa.ForeignKeyConstraint(
            ["removed_by_rotation_id"], ["plug_rotation.id"], name=op.f("fk_plug_stay_removed_by_rotation_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plug_stay")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_plug_stay_assembly", "plug_stay", ["assembly_id", "removed_on"], unique=False)
    op.create_index(op.f("ix_plug_stay_plug_id"), "plug_stay", ["plug_id"], unique=False)
    for column in ("fitted_by_rotation_id", "removed_by_rotation_id"):
        op.create_index(op.f(f"ix_plug_stay_{column}"), "plug_stay", [column], unique=False)
    _while_fitted("uq_plug_stay_place", ["assembly_id", "place"])
    _while_fitted("uq_plug_stay_plug", ["plug_id"])


def _while_fitted(name: str, columns: list[str]) -> None:
    fitted = sa.text("removed_on IS NULL")
    op.create_index(name, "plug_stay", columns, unique=True, sqlite_where=fitted, postgresql_where=fitted)
