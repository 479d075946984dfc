"""Bars 6, 27 and 30: forms sent thrice, with more than they name, and what the log tells of them."""

from pathlib import Path

from tests.trust.board import Figure, measures, pytest_counts
from tests.trust.scratch import scratch_database, undone

FEW = 3


def _told(faults: list[str]) -> str:
    return f"; e.g. {' / '.join(faults[:FEW])}" if faults else ""


@measures(6)
def money_sent_thrice(long: bool) -> Figure:
    with scratch_database():
        from django.db import connection
        from pytest import MonkeyPatch

        from tests.trust import access_thrice as thrice

        owner, client, walk = _walk()
        seen, without, at_once_without = thrice.Thrice(), thrice.Thrice(), thrice.Thrice()
        thrice.money_forms(client, walk, seen)
        thrice.in_turn(client, seen)
        without.forms = at_once_without.forms = seen.forms[:6]
        with MonkeyPatch.context() as patch:
            _forget_forms(patch)
            thrice.in_turn(client, without)
        where = "one database only: put back from a file"
        if connection.vendor == "sqlite":
            file = Path(connection.settings_dict["NAME"])
            thrice.at_once(owner, seen, file)
            with MonkeyPatch.context() as patch:
                _forget_forms(patch)
                thrice.at_once(owner, at_once_without, file)
            where = "in turn and at once"
    said = (
        f"{len(seen.forms)} forms that move money or ownership, {seen.presses} presses {where}, "
        "each changed once under its mark: "
        f"{len(seen.faults)} with another effect or answer{_told(seen.faults)}"
    )
    control = (
        f"without the memory of forms {len(without.faults)} faults in turn and {len(at_once_without.faults)} "
        f"at once, of {len(without.forms)} forms"
    )
    met = not seen.faults and len(seen.forms) >= 20 and bool(without.faults)
    return Figure(said, met and (connection.vendor != "sqlite" or bool(at_once_without.faults)), control)


def _forget_forms(patch) -> None:
    """As if no form had ever been sent before."""
    from django.shortcuts import redirect

    from instruments.views import answers

    patch.setattr(answers, "answered_before", lambda request: None)
    patch.setattr(answers, "once", lambda request, act: redirect(act()))


@measures(27)
def more_than_a_form_names(long: bool) -> Figure:
    with scratch_database():
        import time_machine

        from tests.journeys.form_walk import every_form
        from tests.trust import access_assignment as assignment

        with undone():
            _, client, walk = _walk()
            forms = every_form(client, walk)
            with time_machine.travel(walk.sale.recorded_at.replace(year=2026), tick=False):
                seen = assignment.Assigned()
                for value in ("1", "on", "99999") if long else ("1",):
                    found = assignment.assign(client, forms, value=value)
                    seen.forms, seen.names = seen.forms + found.forms, seen.names + found.names
                    seen.faults += found.faults
                    seen.refused += found.refused
                without = assignment.column_not_shown(client, forms)
    said = (
        f"{seen.forms} forms, {seen.names:,} columns sent that they do not name: {len(seen.faults)} with "
        f"another effect{_told(seen.faults)}, {seen.refused} for which the form is refused; "
        "open-ended forms are refused by a lint"
    )
    return Figure(
        said,
        not seen.faults and seen.forms > 100 and without > 0,
        f"a form that takes a column its page does not show: {without} fault",
    )


@measures(30)
def the_log(long: bool) -> Figure:
    passed, failed, _ = pytest_counts("-v", "-n", "0", "tests/shop/test_access_log.py")
    with scratch_database():
        from pytest import MonkeyPatch

        from instruments.models import AppendOnly
        from shop.models import LogLine
        from shop.models.log import Logged
        from tests.trust import access_matrix as matrix
        from tests.trust import access_thrice as thrice

        with undone():
            _, client, walk = _walk()
            seen, without = thrice.Thrice(), thrice.Thrice()
            thrice.money_forms(client, walk, seen)
            with MonkeyPatch.context() as patch:
                patch.setattr(Logged, "save", AppendOnly.save)
                thrice.money_forms(client, walk, without)
        with undone():
            ground, denied = matrix.make_ground(), 0
            for role in matrix.ROLES:
                for name, (method, right) in matrix.ACCESS.items():
                    if right not in {matrix.PUBLIC, "anybody logged in"} and not matrix.may(role, right):
                        url = matrix.reverse(
                            name, kwargs=matrix.arguments_for(matrix.addresses()[name], name, ground.world)
                        )
                        denied += ground.client(role).generic(method, url).status_code == 403
            told = LogLine.objects.filter(kind="denied", who__isnull=False).count()
    said = (
        f"{len(seen.forms)} forms that move money or ownership, {len(seen.untold)} untold; {denied} "
        f"refusals, {told} told; {passed} tests of sign-ins, seals and a line taken out, changed or cut off, "
        f"{failed} failed"
    )
    met = not seen.untold and len(seen.forms) >= 20 and denied == told > 0 and not failed
    control = f"rows that write no line: {len(without.untold)} forms untold"
    return Figure(said, met and bool(without.untold), control)


def _walk():
    from django.test import Client

    from shop.actions.roles import load_roles
    from tests import make
    from tests.journeys.form_walk import make_walk

    roles = {group.name: group for group in load_roles()}
    owner = make.make_user("olive", "Olive Tarn", roles["Owner"])
    make.make_user("tobias", "Tobias Lind", roles["Technician"])
    client = Client(raise_request_exception=False)
    client.force_login(owner)
    return owner, client, make_walk(owner)
