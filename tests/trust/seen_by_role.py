"""Which words about people each role is shown, on any page, paper or table: `seen_by_role.txt`, to be read.

A column counts as somebody's words when `shop/person_rows.py` names it, and as shown when the walk over
hostile texts read the whole of its text. `python -m tests.trust.write_seen_by_role` writes the table anew.
The test of hostile texts holds a technician and a stranger to it: neither is shown more than it says.
"""

from pathlib import Path

from django.contrib.auth.models import User
from django.test import Client

from shop.models import Person
from shop.person_rows import ROWS
from tests.trust import hostile_walk, planting
from tests.trust.hostile_world import make_hostile_world
from tests.trust.scratch import undone

TABLE = Path(__file__).with_name("seen_by_role.txt")
PEOPLE = {"Owner": "olive", "Sales": "selma", "Buyer": "bram", "Technician": "tobias", "Stranger": ""}
HEAD = "# Written by python -m tests.trust.write_seen_by_role. What nobody is shown anywhere is left out.\n"


def personal_columns() -> dict[str, str]:
    """Columns with somebody's words, by the code of their text."""
    named = {(Person, name) for name in ("name", "address", "telephone", "note")}
    named |= {(rows.model, name) for rows in ROWS for name in rows.words}
    return {
        planting.code_of(field): f"{field.model.__name__}.{field.name}"
        for field in planting.typed_columns()
        if (field.model, field.name) in named
    }


def shown_of(found: hostile_walk.Found) -> set[str]:
    personal = personal_columns()
    return {personal[code] for code in found.shown if code in personal}


def read_table() -> dict[str, set[str]]:
    """What each role is shown, as the table says."""
    lines = [line.split() for line in TABLE.read_text().splitlines() if line and not line.startswith("#")]
    _, *roles = lines[0]
    return {
        role: {column for column, *marks in lines[1:] if marks[place] == "yes"}
        for place, role in enumerate(roles)
    }


def write_table() -> None:
    """From two rounds of texts: one that is cut short for want of room in the one is whole in the other."""
    seen = {role: set() for role in PEOPLE}
    for turn in (0, planting.turn_with("=1+1", "Instrument.maker")):
        with undone():
            world = make_hostile_world(turn)
            for role, username in PEOPLE.items():
                client = Client(raise_request_exception=False)
                if username:
                    client.force_login(User.objects.get(username=username))
                walked = hostile_walk.walk(client, world, turn, who=role, look_at_page=hostile_walk.skim_page)
                seen[role] |= shown_of(walked)
    columns = sorted(set().union(*seen.values()))
    rows = [f"{'column':34}" + "".join(f"{role:12}" for role in PEOPLE)]
    for column in columns:
        marks = ("yes" if column in seen[role] else "-" for role in PEOPLE)
        rows.append(f"{column:34}" + "".join(f"{mark:12}" for mark in marks))
    TABLE.write_text(HEAD + "\n".join(row.rstrip() for row in rows) + "\n")
