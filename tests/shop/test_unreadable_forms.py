"""A body that cannot be read is the sender's fault, whatever address it goes to."""

import pytest
from django.test import Client

from shop.views import errors

pytestmark = pytest.mark.django_db
URLENCODED = "application/x-www-form-urlencoded"
UNREADABLE = [
    ("multipart/form-data", b"\x9f\xd4"),
    ("multipart/form-data; boundary=", b"x"),
    ("multipart/form-data; boundary=\u00e9", b"x"),
    (f"multipart/form-data; boundary={'x' * 300}", b"x"),
    (f"{URLENCODED}; charset=nonsense", b"a=b"),
    (f"{URLENCODED}; charset=utf-16", b"a=b"),
    (URLENCODED, b"a=1&" * 2_001),
    (
        "multipart/form-data; boundary=x",
        b'--x\r\nContent-Disposition: form-data; name="a"; filename="b"\r\n\r\nc\r\n' * 101 + b"--x--",
    ),
    (
        "multipart/form-data; boundary=x",
        b'--x\r\nContent-Disposition: form-data; name="a"\r\n'
        b"Content-Transfer-Encoding: base64\r\n\r\n=\r\n--x--",
    ),
]


@pytest.fixture
def browser_of_nobody():
    browser = Client(enforce_csrf_checks=True)
    browser.cookies["csrftoken"] = "a" * 32
    return browser


@pytest.mark.parametrize(("kind", "body"), UNREADABLE)
@pytest.mark.parametrize("address", ["/login/", "/stock/", "/no/such/place/", "/ask/"])
def test_it_is_refused_and_is_no_fault_of_ours(browser_of_nobody, kind, body, address):
    answer = browser_of_nobody.generic("POST", address, body, kind)
    assert 400 <= answer.status_code < 500


def test_the_pages_for_what_went_wrong_look_for_no_token_in_the_body():
    for page in (errors.bad_request, errors.permission_denied, errors.page_not_found, errors.server_error):
        assert not hasattr(page, "__wrapped__")
