"""What a PostgreSQL server's complaints mean for whoever sits at the window: by its codes, else its words."""

from __future__ import annotations

from sqlalchemy.exc import DBAPIError, OperationalError

from annual_planner.store.refusals import CannotWrite, FleetInUse, NoRight, ServerAway
from annual_planner.trade.refused import Refused

BACK_AGAIN = (
    "Nothing that was saved is lost. Try again in a moment; if it stays away, ask whoever runs the server."
)
ASK = "Ask whoever runs the server."


def said_by_server(fault: DBAPIError) -> Refused | None:
    """What a person can do about it; None when it is a fault of the program, or of a file."""
    if not (type(fault.orig).__module__ or "").startswith("psycopg"):
        return None
    code = getattr(fault.orig, "sqlstate", None) or ""
    if code == "42501":  # insufficient_privilege
        return NoRight(f"The server gives your login no right to this: {_first_line(fault)}.", ASK)
    if code == "25006":  # read_only_sql_transaction
        return CannotWrite("The server takes no changes at present: it is for reading only.", ASK)
    if code == "53100":  # disk_full
        return CannotWrite("The server's disk is full; nothing was written.", ASK)
    if code == "57014":  # query_canceled
        return FleetInUse("The server stopped the question: it took too long.", "Try again in a moment.")
    return _away(fault, code)


def _away(fault: DBAPIError, code: str) -> Refused | None:
    if fault.connection_invalidated and fault.statement is None:  # the answer to COMMIT never came
        return ServerAway(
            "The database server went away while it was saving. What you did may be saved or not.",
            "When it is back, look whether it is there before you do it again.",
        )
    if fault.connection_invalidated or code.startswith(("08", "57P")):
        return ServerAway("The database server went away; nothing was written.", BACK_AGAIN)
    if code == "53300":  # too_many_connections
        return ServerAway("The database server has no room for another connection.", "Try again in a moment.")
    if isinstance(fault, OperationalError) and not code:  # it never came to a connection
        return not_reached(fault)
    return None


def not_reached(fault: DBAPIError) -> Refused:
    """Why there is no connection to the server, and what to do. Its words name no password."""
    text = " ".join(str(fault.orig).split())
    lower = text.lower()
    if "no password supplied" in lower:
        return NoRight(
            "The server asks for a password.", "Give it with the address, or keep a password file."
        )
    if "authentication failed" in lower:
        return NoRight(
            "The server does not take this name and password.",
            "Give both again, or ask whoever runs the server.",
        )
    if "no pg_hba.conf entry" in lower:
        return NoRight("The server lets nobody in under this name from this computer.", ASK)
    if "does not exist" in lower and "database" in lower:
        return NoRight("The server has no database of this name.", "Check the end of the address.")
    if "too many" in lower:
        return ServerAway("The database server has no room for another connection.", "Try again in a moment.")
    return ServerAway(
        f"The database server does not answer: {_reason(text)}.",
        "Check the address and the network, then try again. Nothing that was saved is lost.",
    )


def _reason(text: str) -> str:
    """What the system says, without the address, which the person knows, and without its own advice."""
    return text.rsplit(" failed: ", 1)[-1].split(" Is the server running")[0].rstrip(". ")


def _first_line(fault: DBAPIError) -> str:
    return (str(fault.orig).splitlines() or [""])[0]
