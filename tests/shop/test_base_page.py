import re

import pytest
from django import forms
from django.contrib.auth.models import AnonymousUser, User
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.template.loader import render_to_string
from django.test import Client, override_settings
from django.urls import include, path
from django.views.defaults import bad_request, page_not_found, permission_denied, server_error

from shop.navigation import navigation


def plain(request):
    return HttpResponse("here")


urlpatterns = [
    path("", plain, name="today"),
    path("stock/", plain, name="stock"),
    path("window/", plain, name="window"),
    path("logout/", plain, name="logout"),
]


@pytest.fixture
def asked(rf):
    def ask(address="/", user=None):
        request = rf.get(address)
        request.user = user or User(username="orrin", is_superuser=True)
        return request

    return ask


@pytest.fixture
def few_addresses():
    with override_settings(ROOT_URLCONF=__name__):
        yield


def labels(request):
    return [link.label for link in navigation(request)["navigation"]]


def test_navigation_is_empty_for_a_stranger(asked, few_addresses):
    assert labels(asked(user=AnonymousUser())) == []


def test_navigation_leaves_out_a_place_that_has_no_address(asked, few_addresses, db):
    assert labels(asked()) == ["Today", "Stock", "Window"]


EVERY_ADDRESS = (
    *urlpatterns,
    path("", include(([path("bench/", plain, name="bench")], "workorders"))),
    path(
        "", include(([path(f"{name}/", plain, name=name) for name in ("people", "trials", "books")], "shop"))
    ),
)


@pytest.mark.parametrize(
    ("role", "places"),
    [
        ("owner", "Today Stock Bench People Trials Books Window"),
        ("technician", "Today Stock Bench Window"),
        ("seller", "Today Stock People Trials Window"),
        ("buyer", "Today Stock People Books Window"),
    ],
)
def test_each_role_is_shown_the_places_of_its_work(request, asked, role, places):
    user = request.getfixturevalue(role)
    with override_settings(ROOT_URLCONF=EVERY_ADDRESS):
        assert " ".join(labels(asked(user=user))) == places


def test_navigation_marks_the_place_a_deeper_page_belongs_to(asked, few_addresses, db):
    links = navigation(asked("/stock/26-014/"))["navigation"]
    assert [link.label for link in links if link.is_current] == ["Stock"]


def test_navigation_counts_orders_and_items_as_the_bench(asked, db):
    with override_settings(ROOT_URLCONF=EVERY_ADDRESS):
        links = navigation(asked("/orders/W26-001/"))["navigation"]
    assert [link.label for link in links if link.is_current] == ["Bench"]


def test_navigation_marks_the_front_page_only_as_itself(asked, few_addresses, db):
    links = navigation(asked("/elsewhere/"))["navigation"]
    assert [link.label for link in links if link.is_current] == []


def test_the_current_place_is_told_to_screen_readers(asked, few_addresses, db):
    page = render_to_string("base.html", request=asked("/stock/"))
    assert '<a href="/stock/" aria-current="page">Stock</a>' in page


def test_the_page_offers_a_way_past_the_navigation(asked, few_addresses, db):
    page = render_to_string("base.html", request=asked())
    assert (
        page.index('href="#content"')
        < page.index('<header class="masthead">')
        < page.index('<main id="content"')
    )


def test_signing_out_is_a_post(asked, few_addresses, db):
    page = render_to_string("base.html", request=asked())
    assert '<form class="masthead-person" action="/logout/" method="post" data-signs-out>' in page


def test_the_public_page_has_no_shop_navigation(asked, few_addresses, db):
    page = render_to_string("base_public.html", request=asked(user=AnonymousUser()))
    assert "Main places" not in page


def test_the_login_page_keeps_a_refused_name(client, db):
    page = client.post("/login/", {"username": "orrin", "password": "wrong"}).content.decode()
    assert 'value="orrin"' in page and 'role="alert"' in page


@pytest.mark.parametrize(
    ("view", "arguments", "status", "words"),
    [
        (bad_request, [ValueError()], 400, "Nothing was changed"),
        (permission_denied, [PermissionError()], 403, "widen your role"),
        (page_not_found, [LookupError()], 404, "There is no such page"),
        (server_error, [], 500, "Something broke on our side"),
    ],
)
def test_each_failure_has_a_page_that_says_what_to_do(asked, db, view, arguments, status, words):
    response = view(asked(user=AnonymousUser()), *arguments)
    assert response.status_code == status
    assert words in response.content.decode()


def test_the_too_large_page_names_the_limit(asked, db):
    assert "30 MB" in render_to_string("413.html", request=asked(user=AnonymousUser()))


class SampleForm(forms.Form):
    maker = forms.CharField(help_text="As cast in the frame.")
    height = forms.IntegerField(label="Height")
    kind = forms.ChoiceField(choices=[("upright", "Upright"), ("grand", "Grand")], widget=forms.RadioSelect)
    is_public = forms.BooleanField(label="Show in the window")


def drawn(name, posted=None, **context):
    return render_to_string("includes/field.html", {"field": SampleForm(posted)[name], **context})


def test_a_field_ties_its_help_to_its_box():
    field = drawn("maker")
    assert 'aria-describedby="id_maker_helptext"' in field and 'id="id_maker_helptext"' in field


def test_a_refused_field_ties_its_error_to_its_box():
    field = drawn("height", {"height": "tall"})
    assert 'aria-invalid="true"' in field and 'id="id_height_error"' in field


def test_a_refused_field_keeps_what_was_typed():
    assert 'value="&lt;tall&gt;"' in drawn("height", {"height": "<tall>"})


def test_a_number_stands_before_its_unit():
    assert "<span>cm</span>" in drawn("height", unit="cm")


def test_a_choice_is_a_named_group_of_chips():
    field = drawn("kind", {"kind": "harp"})
    assert field.count('class="chip"') == 2
    assert 'aria-describedby="id_kind_error"' in field


def test_a_tick_carries_its_label_beside_it():
    assert "<span>Show in the window</span>" in drawn("is_public")


def test_the_summary_of_errors_leads_to_each_field():
    summary = render_to_string("includes/form_errors.html", {"form": SampleForm({"maker": "Thursby & Lund"})})
    assert '<a href="#id_height">“Height” is still empty: give a whole number.</a>' in summary


def test_the_pager_keeps_the_rest_of_the_query(asked):
    request = asked("/stock/?q=halden&page=2")
    page = Paginator(range(30), 10).page(2)
    text = render_to_string("includes/pager.html", {"page": page}, request=request)
    assert "?q=halden&amp;page=3" in text and "11 to 20 of 30" in text


def test_signing_out_ends_on_a_page_of_ours(client, owner):
    client.force_login(owner)
    assert "Sign in again" in client.post("/logout/").content.decode()


def test_a_form_without_its_token_is_refused_in_plain_words(db):
    response = Client(enforce_csrf_checks=True).post("/login/", {"username": "olive"})
    assert response.status_code == 403
    assert "The form had grown old" in response.content.decode()


def head_of(client) -> str:
    return client.get("/stock/").content.decode().partition("<main")[0]


def test_the_head_of_a_page_is_each_persons_own_and_its_token_the_pages_own(client, owner, technician):
    heads = []
    for user in (owner, technician, owner):
        client.force_login(user)
        head = head_of(client)
        assert f'data-user="{user.pk}"' in head and user.get_full_name() in head
        token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', head)[1]
        assert len(token) == 64
        heads.append(head.replace(token, ""))
    assert heads[0] == heads[2] != heads[1]
    assert "Books" in heads[0] and "Books" not in heads[1]
    User.objects.filter(pk=owner.pk).update(first_name="Olive <b>", last_name="Tarn")
    assert "Olive &lt;b&gt; Tarn" in head_of(client)


def test_the_token_in_the_head_lets_one_sign_out(owner):
    client = Client(enforce_csrf_checks=True)
    client.force_login(owner)
    token = re.search(r'name="csrfmiddlewaretoken" value="([^"]+)"', head_of(client))[1]
    assert client.post("/logout/", {"csrfmiddlewaretoken": "x" * 64}).status_code == 403
    assert client.post("/logout/", {"csrfmiddlewaretoken": token}).status_code == 200
    assert client.get("/stock/").status_code == 302
