"""A served shop with one row of everything, for harnesses that send it what they like."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from types import SimpleNamespace

from tests.trust.scratch import scratch_database


@dataclass
class Shop:
    """`session` is the owner's login; `forms` are all forms of all pages, as the owner has them."""

    folder: Path
    world: SimpleNamespace
    session: str
    forms: list = field(default_factory=list)


def log_of(server) -> str:
    return server.log.read_text(errors="replace")


@contextmanager
def hostile_shop() -> Iterator[Shop]:
    with scratch_database() as folder:
        from django.test import Client

        from shop.actions.roles import load_roles
        from tests import make
        from tests.journeys.form_walk import every_form, make_walk

        roles = {group.name: group for group in load_roles()}
        owner = make.make_user("olive", "Olive Tarn", roles["Owner"])
        make.make_user("tobias", "Tobias Lind", roles["Technician"])
        world, client = make_walk(owner), Client()
        world.owner = owner
        client.force_login(owner)
        yield Shop(folder, world, client.cookies["sessionid"].value, every_form(client, world))
