"""What is done on cards, and the life of a discrepancy."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, time
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make what this program newly keeps; tables that others refer to first."""
    _on_packages()
    _on_discrepancies()
    _on_cards()
    _kept_view()
    _discrepancy_step()
    _card_note()
    _card_result()
    _part_used()
    _photograph()
    _worked_time()
    _lives_so_far()


def _lives_so_far() -> None:
    """Give discrepancies of before their steps, from what their rows say, and the state these lead to."""
    connection = op.get_bind()
    found = connection.execute(
        sa.text(
            "SELECT id, found_on, text, zone, airworthy, disposition, closed_on FROM discrepancy ORDER BY id"
        ).columns(found_on=sa.Date(), closed_on=sa.Date(), airworthy=sa.Boolean())
    ).all()
    steps = [step for row in found for step in _steps(row)]
    if steps:
        connection.execute(sa.insert(_STEP), steps)
    for row in found:
        state = sa.text("UPDATE discrepancy SET state = :state WHERE id = :id")
        connection.execute(state, {"state": _state(row), "id": row.id})


_STEP = sa.table(
    "discrepancy_step",
    sa.column("discrepancy_id", sa.Integer()),
    sa.column("step", sa.Text()),
    sa.column("on", sa.Date()),
    sa.column("written_at", sa.DateTime(timezone=True)),
    sa.column("said", sa.Text()),
    sa.column("facts", sa.JSON()),
)
_BEFORE = "taken over from the record as it stood"


def _steps(row: Any) -> Iterator[dict[str, object]]:
    yield _step(row, "found", row.found_on, {"text": row.text, "zone": row.zone, "card": None})
    if row.airworthy is not None:
        yield _step(row, "judged", row.found_on, {"airworthy": row.airworthy})
    if row.disposition:
        yield _step(row, "decided", row.found_on, {"disposition": row.disposition})
    if row.closed_on is not None:
        yield _step(row, "corrected", row.closed_on, {})
        yield _step(row, "inspected", row.closed_on, {})


def _step(row: Any, step: str, on: date, facts: dict[str, object]) -> dict[str, object]:
    written_at = datetime.combine(on, time(), UTC)
    told = {"discrepancy_id": row.id, "step": step, "on": on, "written_at": written_at}
    return {**told, "said": _BEFORE, "facts": facts}


def _state(row: Any) -> str:
    if row.closed_on is not None:
        return "signed"
    if row.disposition:
        return "decided"
    return "found" if row.airworthy is None else "judged"


def _words(table: str, *names: str) -> None:
    for name in names:
        op.add_column(table, sa.Column(name, sa.Text(), server_default="", nullable=False))


def _dates(table: str, *names: str) -> None:
    for name in names:
        op.add_column(table, sa.Column(name, sa.Date(), nullable=True))


def _refers(table: str, column: str, to: str) -> None:
    # Written out, since SQLite takes the reference only with the column.
    op.execute(
        f"ALTER TABLE {table} ADD COLUMN {column} INTEGER CONSTRAINT fk_{table}_{column} REFERENCES {to} (id)"
    )


def _on_packages() -> None:
    _dates("work_package", "promised_on", "closed_on")
    _words("work_package", "result")


def _on_discrepancies() -> None:
    state = sa.Column("state", sa.Text(), server_default="found", nullable=False)
    op.add_column("discrepancy", state)
    _refers("discrepancy", "package_id", "work_package")
    _refers("discrepancy", "card_id", "work_card")
    _refers("discrepancy", "assembly_id", "assembly")
    op.create_index("ix_discrepancy_package_id", "discrepancy", ["package_id"])
    op.create_index("ix_discrepancy_card_id", "discrepancy", ["card_id"])
    op.create_index("ix_discrepancy_closed_found", "discrepancy", ["closed_on", "found_on", "id"])
    op.create_index("ix_discrepancy_found_on", "discrepancy", ["found_on"])
    op.add_column("discrepancy", sa.Column("cylinder", sa.Integer(), nullable=True))
    op.add_column("discrepancy", sa.Column("cost_estimate", sa.Integer(), nullable=True))
    _words(
        "discrepancy",
        "how_found",
        "risk",
        "waits_for",
        "parts",
        "owner_answer",
        "owner_answered_how",
        "placard",
    )
    _dates("discrepancy", "waits_since", "owner_answered_on", "deferred_until")


def _on_cards() -> None:
    op.add_column("work_card", sa.Column("state", sa.Text(), server_default="open", nullable=False))
    _words("work_card", "state_why")
    _refers("work_card", "done_by_id", "person")
    _dates("work_card", "done_on")


def _kept_view() -> None:
    op.create_table(
        "kept_view",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person", sa.Text(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("settings", sa.JSON(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_kept_view")),
        sa.UniqueConstraint("person", "place", "name", name=op.f("uq_kept_view_person_place_name")),
        sqlite_autoincrement=True,
    )


def _discrepancy_step() -> None:
    op.create_table(
        "discrepancy_step",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("discrepancy_id", sa.Integer(), nullable=False),
        sa.Column("step", sa.Text(), nullable=False),
        sa.Column("on", sa.Date(), nullable=False),
        sa.Column("written_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("said", sa.Text(), nullable=False),
        sa.Column("facts", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(
            ["discrepancy_id"], ["discrepancy.id"], name=op.f("fk_discrepancy_step_discrepancy_id")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_discrepancy_step_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_discrepancy_step")),
        sqlite_autoincrement=True,
    )
    op.create_index(
        op.f("ix_discrepancy_step_discrepancy_id"), "discrepancy_step", ["discrepancy_id"], unique=False
    )


def _card_note() -> None:
    op.create_table(
        "card_note",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("card_id", sa.Integer(), nullable=False),
        sa.Column("written_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["card_id"], ["work_card.id"], name=op.f("fk_card_note_card_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_card_note_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_card_note")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_card_note_card_id"), "card_note", ["card_id"], unique=False)


def _card_result() -> None:
    op.create_table(
        "card_result",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("card_id", sa.Integer(), nullable=False),
        sa.Column("measurement", sa.Text(), nullable=False),
        sa.Column("value", sa.Double(), nullable=True),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("within", sa.Boolean(), nullable=True),
        sa.Column("read_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["card_id"], ["work_card.id"], name=op.f("fk_card_result_card_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_card_result_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_card_result")),
        sa.UniqueConstraint("card_id", "measurement", name=op.f("uq_card_result_card_id_measurement")),
        sqlite_autoincrement=True,
    )


def _part_used() -> None:
    op.create_table(
        "part_used",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("card_id", sa.Integer(), nullable=True),
        sa.Column("discrepancy_id", sa.Integer(), nullable=True),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("quantity", sa.Integer(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sa.Column("serial", sa.Text(), nullable=False),
        sa.Column("cost", sa.Integer(), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["card_id"], ["work_card.id"], name=op.f("fk_part_used_card_id")),
        sa.ForeignKeyConstraint(
            ["discrepancy_id"], ["discrepancy.id"], name=op.f("fk_part_used_discrepancy_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_part_used")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_part_used_card_id"), "part_used", ["card_id"], unique=False)
    op.create_index(op.f("ix_part_used_discrepancy_id"), "part_used", ["discrepancy_id"], unique=False)


def _photograph() -> None:
    op.create_table(
        "photograph",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("aircraft_id", sa.Integer(), nullable=False),
        sa.Column("card_id", sa.Integer(), nullable=True),
        sa.Column("discrepancy_id", sa.Integer(), nullable=True),
        sa.Column("taken_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("caption", sa.Text(), nullable=False),
        sa.Column("width_px", sa.Integer(), nullable=False),
        sa.Column("height_px", sa.Integer(), nullable=False),
        sa.Column("sha256", sa.Text(), nullable=False),
        sa.Column("jpeg", sa.LargeBinary(), nullable=False),
        sa.Column("thumbnail", sa.LargeBinary(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["aircraft_id"], ["aircraft.id"], name=op.f("fk_photograph_aircraft_id")),
        sa.ForeignKeyConstraint(["card_id"], ["work_card.id"], name=op.f("fk_photograph_card_id")),
        sa.ForeignKeyConstraint(
            ["discrepancy_id"], ["discrepancy.id"], name=op.f("fk_photograph_discrepancy_id")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_photograph")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_photograph_aircraft_id"), "photograph", ["aircraft_id"], unique=False)
    op.create_index(op.f("ix_photograph_card_id"), "photograph", ["card_id"], unique=False)
    op.create_index(op.f("ix_photograph_discrepancy_id"), "photograph", ["discrepancy_id"], unique=False)


def _worked_time() -> None:
    op.create_table(
        "worked_time",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("card_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("started_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("stopped_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(["card_id"], ["work_card.id"], name=op.f("fk_worked_time_card_id")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_worked_time_person_id")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_worked_time")),
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_worked_time_card_id"), "worked_time", ["card_id"], unique=False)
    op.create_index(op.f("ix_worked_time_person_id"), "worked_time", ["person_id"], unique=False)
