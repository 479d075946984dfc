from types import SimpleNamespace

from tests.browser import _only_this_machine


class AskedRoute:
    """What Playwright hands to a route handler, as far as ours looks at it."""

    def __init__(self, url):
        self.request = SimpleNamespace(url=url)
        self.outcome = None

    def abort(self):
        self.outcome = "aborted"

    def continue_(self):
        self.outcome = "let through"


def test_page_opens_addresses_of_the_live_server(page):
    page.goto("/login/")
    assert page.locator("input[name=username]").count() == 1


def test_phone_is_narrow_and_touched(phone):
    phone.goto("/login/")
    assert phone.evaluate("[window.innerWidth, navigator.maxTouchPoints > 0]") == [360, True]


def test_server_and_test_see_the_same_rows(page, django_user_model):
    django_user_model.objects.create_user("ada", password="quiet-felt-52")
    page.goto("/login/?next=/login/")
    page.fill("input[name=username]", "ada")
    page.fill("input[name=password]", "quiet-felt-52")
    page.press("input[name=password]", "Enter")
    page.wait_for_url("**/login/")
    assert "sessionid" in {cookie["name"] for cookie in page.context.cookies()}


def test_requests_to_this_machine_are_let_through():
    complaints = []
    route = AskedRoute("http://localhost:8081/stock/")
    _only_this_machine(route, complaints)
    assert (route.outcome, complaints) == ("let through", [])


def test_requests_to_any_other_machine_are_stopped_and_noted():
    complaints = []
    route = AskedRoute("https://fonts.example.org/a.woff2")
    _only_this_machine(route, complaints)
    assert (route.outcome, complaints) == (
        "aborted",
        ["the page asked for https://fonts.example.org/a.woff2"],
    )
