"""Words for the invented package: jobs, steps, cautions, and a short list of things looked at."""

# ruff: noqa: E501, ISC004 - rows of invented things are read as a table

from __future__ import annotations

OWNER, MECHANIC, INSPECTOR = "owner, pilot", "mechanic", "inspector (IA)"

JOBS: tuple[tuple[str, str, str, str, str, str, str], ...] = (
    ("Read the records and list what applies", "research", "research", "office", "", MECHANIC, ""),
    ("Search directives by serial number", "research", "research", "office", "43.9", MECHANIC, MECHANIC),
    (
        "Receive the airplane and walk round it",
        "hot_checks",
        "inspect",
        "whole_airplane",
        "43.11",
        INSPECTOR,
        INSPECTOR,
    ),
    ("Compression of all cylinders, hot", "hot_checks", "test", "engine", "43.11", INSPECTOR, INSPECTOR),
    ("Drain the oil while it is hot", "hot_checks", "service", "engine", "43.9", OWNER, OWNER),
    ("Take off the belly plates", "open", "open", "fuselage", "", OWNER, ""),
    ("Take out seats and carpet", "open", "open", "cockpit", "", OWNER, ""),
    ("Open the wing plates", "open", "open", "wing_left", "", "helper under a mechanic", ""),
    ("Wash the engine", "clean", "clean", "engine", "", "helper under a mechanic", ""),
    ("Inspect cylinders, baffles and mounts", "inspect", "inspect", "engine", "43.11", INSPECTOR, INSPECTOR),
    (
        "Inspect controls and cables in the cabin",
        "inspect",
        "inspect",
        "cockpit",
        "43.11",
        INSPECTOR,
        INSPECTOR,
    ),
    ("Inspect the main gear", "inspect", "inspect", "gear_main", "43.11", INSPECTOR, INSPECTOR),
    (
        "Inspect wing skin, spar and fittings",
        "inspect",
        "inspect",
        "wing_right",
        "43.11",
        INSPECTOR,
        INSPECTOR,
    ),
    ("Inspect the propeller", "inspect", "inspect", "propeller", "43.11", INSPECTOR, INSPECTOR),
    ("Grease the wheel bearings", "service", "service", "gear_main", "43.9", OWNER, OWNER),
    ("Service plugs: clean, gap, test, rotate", "service", "service", "engine", "43.9", MECHANIC, MECHANIC),
    ("Mend the oil seep at cylinder 3", "repair", "repair", "engine", "43.9", MECHANIC, MECHANIC),
    ("Close the wing plates", "close", "close", "wing_left", "", "helper under a mechanic", ""),
    ("Run up and leak check", "run_up", "run_up", "engine", "43.11", INSPECTOR, INSPECTOR),
    ("Write the entries and the due list", "records", "record", "office", "43.11", INSPECTOR, INSPECTOR),
)

STEPS = (
    "Look at it as it is before anything is wiped; write down where stains begin.",
    "Read the maker's current instructions for this step and note their revision.",
    "Move each control to its stops and back; feel for roughness, listen, watch the far end.",
    "Look for cracks, corrosion, chafing and loose fasteners with a lamp and a mirror; use the glass on anything "
    "doubtful, and have a second person look where the light is poor.",
    "Check security of each line and its clamps.",
    "Count the parts that came off; bag and label them.",
    "Compare placards and markings with the flight manual.",
    "Torque by the maker's table and mark the head.",
    "Fit new safety wire or cotter pins.",
    "Have the propeller treated as live before anyone reaches into the arc.",
    "Write each reading in the blanks below, with the gauge that was used.",
)

CAUTIONS = (
    ("propeller_live", "Treat the propeller as live", "Any movement of the blade can fire the engine. Switches off, keys out, "
     "grounds proved, wheels chocked, everyone clear of the arc. Move it only when the work needs it."),
    ("hot_engine", "Hot engine", "Exhaust, heads and oil burn skin minutes after shutdown. Gloves and long sleeves; keep rags and solvents away."),
    ("jacks", "Airplane on jacks", "Only at the maker's points, on firm level ground, tail held; locks on, nobody inside, no climbing."),
    ("solvents", "Solvents and their vapor", "Fresh air, gloves, eye protection, no flame or hot lamp near; rags into a closed metal can."),
    ("battery", "Battery", "Off and the ground strap taken off first. Gas from charging burns; no sparks near."),
    ("lifting", "Heavy or awkward load", "Two people; say who leads, and know where it will be put down."),
)  # fmt: skip

SCOPE = tuple(
    (f"D-{letter}-{number}", f"14 CFR 43 App. D({letter})({number})", group, subject, look_for)
    for letter, number, group, subject, look_for in (
        ("b", 1, "fuselage", "Fuselage covering or skin", ("tired, brittle or corroded covering", "dents, wrinkles", "loose or broken fasteners")),
        ("b", 2, "fuselage", "What is built into the fuselage", ("fitted wrongly", "damaged", "not doing its job")),
        ("b", 3, "fuselage", "Envelope and ballast tanks", ("any part in poor state",)),
        ("c", 1, "cabin", "Cabin in general", ("dirt and loose things that could foul the controls",)),
        ("c", 2, "cabin", "Seats and belts", ("poor state", "visible defects")),
        ("c", 3, "cabin", "Windows and windshields", ("wear", "breakage")),
        ("c", 4, "cabin", "Instruments", ("poor state", "mounting", "marking", "where it can be, wrong working")),
        ("c", 5, "cabin", "Controls of flight and engine", ("fitted wrongly", "working wrongly")),
        ("c", 6, "cabin", "Batteries", ("fitted wrongly", "wrong charge")),
        ("d", 1, "engine", "Engine section", ("oil, fuel or hydraulic leaks and where they come from",)),
        ("d", 2, "engine", "Studs and nuts", ("wrong torque", "visible defects")),
        ("d", 3, "engine", "Inside of the engine", ("compression", "metal on screens and drain plugs")),
        ("d", 4, "engine", "Engine mount", ("cracks", "looseness of mount and engine on it")),
        ("e", 1, "gear", "All parts of the gear", ("poor state", "insecure")),
        ("e", 8, "gear", "Wheels", ("cracks", "defects", "state of bearings")),
        ("e", 9, "gear", "Tires", ("wear", "cuts")),
        ("h", 1, "propeller", "Propeller", ("cracks", "nicks", "binds", "oil leaks")),
        ("i", 1, "radio", "Radio equipment", ("fitted wrongly", "insecure mounting")),
    )
)  # fmt: skip
