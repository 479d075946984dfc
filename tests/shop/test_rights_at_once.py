"""Who is there and what they may, asked in fewer questions than Django's own: the answers are the same."""

from datetime import timedelta

import pytest
from django.contrib.auth.backends import ModelBackend
from django.contrib.auth.models import AnonymousUser, Permission, User
from django.contrib.sessions.backends import db as sessions
from django.contrib.sessions.models import Session
from django.test import Client
from django.utils import timezone

from shop.security.kept_sessions import SessionStore
from shop.security.rights import RightsAtOnce

pytestmark = [pytest.mark.django_db, pytest.mark.both]
ROLES = ("owner", "technician", "seller", "buyer")


def rights(backend, user) -> set[str]:
    """Of somebody who has just come in: what was asked of them before is not known any more."""
    return backend().get_all_permissions(User.objects.get(pk=user.pk))


@pytest.mark.parametrize("role", ROLES)
def test_a_role_may_what_django_says_it_may(request, role):
    user = request.getfixturevalue(role)
    assert rights(RightsAtOnce, user) == rights(ModelBackend, user) != set()


def test_a_right_of_ones_own_comes_to_those_of_the_groups_and_goes_at_once(technician):
    sell = Permission.objects.get(content_type__app_label="shop", codename="sell")
    before = rights(RightsAtOnce, technician)
    technician.user_permissions.add(sell)
    assert rights(RightsAtOnce, technician) == before | {"shop.sell"} == rights(ModelBackend, technician)
    technician.user_permissions.clear()
    technician.groups.clear()
    assert rights(RightsAtOnce, technician) == set()


def test_a_right_of_one_person_is_not_anothers(technician, seller):
    seller.user_permissions.set(Permission.objects.filter(codename="run_shop"))
    assert "shop.run_shop" in rights(RightsAtOnce, seller)
    assert "shop.run_shop" not in rights(RightsAtOnce, technician)


def test_who_may_everything_or_nothing_is_asked_djangos_way(owner):
    User.objects.filter(pk=owner.pk).update(is_superuser=True)
    assert rights(RightsAtOnce, owner) == rights(ModelBackend, owner)
    User.objects.filter(pk=owner.pk).update(is_active=False)
    assert rights(RightsAtOnce, owner) == set() == RightsAtOnce().get_all_permissions(AnonymousUser())
    assert RightsAtOnce().get_all_permissions(owner, obj=owner) == set()


def test_a_person_is_found_as_django_finds_them(owner, technician):
    User.objects.filter(pk=technician.pk).update(is_active=False)
    found = RightsAtOnce().get_user(owner.pk)
    assert found == owner and vars(found).keys() == vars(ModelBackend().get_user(owner.pk)).keys()
    assert found.is_active is True and found.date_joined == owner.date_joined
    assert RightsAtOnce().get_user(technician.pk) is None is RightsAtOnce().get_user(999_999)


def test_a_session_is_read_until_it_is_over_and_only_by_its_key():
    kept = SessionStore()
    kept["seat"] = "by the window"
    kept.save()
    key = kept.session_key
    assert SessionStore(key)["seat"] == sessions.SessionStore(key)["seat"] == "by the window"
    assert SessionStore("-1" * 8).get("seat") is None is SessionStore("z" * 32).get("seat")
    Session.objects.filter(pk=key).update(expire_date=timezone.now() - timedelta(seconds=1))
    over = SessionStore(key)
    assert over.get("seat") is None and over.session_key is None


def test_somebody_signed_in_stays_so_whichever_release_asks(owner, technician, settings):
    """One rolled out goes by our own backend, the one before by Django's: each reads what the other wrote."""
    ours, before = SessionStore, sessions.SessionStore
    for user, write, read in ((owner, before, ours), (technician, ours, before)):
        settings.SESSION_ENGINE, settings.AUTHENTICATION_BACKENDS = engine_of(write)
        here, there = Client(), Client()
        here.force_login(user)
        settings.SESSION_ENGINE, settings.AUTHENTICATION_BACKENDS = engine_of(read)
        there.cookies = here.cookies
        assert there.get("/").wsgi_request.user == user


def engine_of(store: type) -> tuple[str, list[str]]:
    backend = RightsAtOnce if store is SessionStore else ModelBackend
    return store.__module__, [f"{backend.__module__}.{backend.__qualname__}"]
