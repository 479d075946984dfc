from io import StringIO

import pytest
from django.contrib.auth.models import Group, User
from django.core.management import CommandError, call_command


def add(monkeypatch, *arguments, password="brass-castor-71"):
    monkeypatch.setattr("sys.stdin", StringIO(f"{password}\n"))
    told = StringIO()
    call_command("add_person_at_work", *arguments, stdout=told)
    return told.getvalue()


def test_somebody_added_can_log_in_and_has_the_role(monkeypatch, roles):
    told = add(monkeypatch, "ines", "--name", "Ines Farrow", "--role", "Technician")
    assert told == "Ines Farrow can log in as ines (Technician).\n"
    user = User.objects.get(username="ines")
    assert user.check_password("brass-castor-71")
    assert user.has_perm("workorders.do_work")


def test_one_person_may_have_several_roles(monkeypatch, roles):
    add(monkeypatch, "ines", "--name", "Ines Farrow", "--role", "Technician", "--role", "Sales")
    assert {group.name for group in User.objects.get(username="ines").groups.all()} == {"Technician", "Sales"}


def test_a_weak_password_is_refused_with_its_reason(monkeypatch, roles):
    with pytest.raises(CommandError, match="too short"):
        add(monkeypatch, "ines", "--name", "Ines Farrow", "--role", "Technician", password="felt")
    assert not User.objects.exists()


def test_a_name_that_is_taken_is_refused(monkeypatch, owner):
    with pytest.raises(CommandError, match="already exists"):
        add(monkeypatch, "olive", "--name", "Olive Again", "--role", "Owner")


def test_a_role_that_is_not_loaded_is_refused(monkeypatch, db):
    Group.objects.all().delete()
    with pytest.raises(CommandError, match="run prepare_shop first"):
        add(monkeypatch, "ines", "--name", "Ines Farrow", "--role", "Technician")
