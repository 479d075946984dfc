"""Where a message ends, asked of nginx and gunicorn with the shop's own files (ASVS 5.0, 4.2.1, 12.1)."""

import ssl

import pytest

from tests.shop.test_lines_in_cipher import certificate  # noqa: F401
from tests.trust.front import NGINX, front

pytestmark = pytest.mark.skipif(NGINX is None, reason="there is no nginx on this machine")
HEAD = b"POST /first HTTP/1.1\r\nHost: shop.example\r\n"
HIDDEN = b"GET /hidden HTTP/1.1\r\nHost: shop.example\r\n\r\n"
CHUNKED = b"5\r\nhello\r\n0\r\n\r\n"
# Two lengths, or one that only one of the two would read: none may hide a second request.
AMBIGUOUS = {
    "a length beside chunks": b"Content-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n"
    + b"0\r\n\r\n"
    + HIDDEN,
    "two lengths": b"Content-Length: 0\r\nContent-Length: %d\r\n\r\n" % len(HIDDEN) + HIDDEN,
    "a list of lengths": b"Content-Length: 0, %d\r\n\r\n" % len(HIDDEN) + HIDDEN,
    "a length with a sign": b"Content-Length: +%d\r\n\r\n" % len(HIDDEN) + HIDDEN,
    "a blank before the colon": b"Transfer-Encoding : chunked\r\nContent-Length: 0\r\n\r\n" + HIDDEN,
    "chunks called otherwise": b"Transfer-Encoding: xchunked\r\nContent-Length: 0\r\n\r\n" + HIDDEN,
    "chunks named twice": b"Transfer-Encoding: chunked\r\nTransfer-Encoding: identity\r\n\r\n0\r\n\r\n"
    + HIDDEN,
    "a folded line": b"Transfer-Encoding:\r\n chunked\r\nContent-Length: 0\r\n\r\n" + HIDDEN,
    "a chunk with a sign": b"Transfer-Encoding: chunked\r\n\r\n-1\r\n\r\n" + HIDDEN,
}


@pytest.fixture(scope="module")
def there(tmp_path_factory, certificate):  # noqa: F811
    with front(tmp_path_factory.mktemp("f"), certificate) as running:
        yield running


@pytest.fixture
def shop(there):
    there.forget()
    return there


def test_a_plain_request_arrives_whole_with_where_it_comes_from(shop):
    """The control: what is refused below is refused for its lengths."""
    claimed = b"X-Forwarded-For: 203.0.113.9\r\nContent-Length: 5\r\nConnection: close\r\n\r\nhello"
    answer = shop.over_tls(HEAD + claimed)
    (arrived,) = shop.what_arrived()
    assert b" 200 " in answer and (arrived["path"], arrived["body"]) == ("/first", "hello")
    assert (arrived["from"], arrived["scheme"]) == ("127.0.0.1", "https")


@pytest.mark.parametrize("way", ["over_tls", "to_the_program"])
def test_two_requests_on_one_line_are_two(shop, way):
    """The control of the other side: a second request that is not hidden does arrive."""
    getattr(shop, way)(HEAD + b"Content-Length: 5\r\n\r\nhello" + HIDDEN)
    assert [each["path"] for each in shop.what_arrived()] == ["/first", "/hidden"]


@pytest.mark.parametrize("way", ["over_tls", "to_the_program"])
@pytest.mark.parametrize("what", AMBIGUOUS)
def test_no_second_request_hides_behind_an_ambiguous_length(shop, way, what):
    answer = getattr(shop, way)(HEAD + AMBIGUOUS[what])
    arrived = shop.what_arrived()
    assert "/hidden" not in [each["path"] for each in arrived], what
    assert answer.split(b" ")[1:2] in ([b"400"], [b"501"]) or len(arrived) == 1, answer[:80]


def test_chunks_count_and_a_length_beside_them_does_not(shop):
    shop.to_the_program(HEAD + b"Content-Length: 3\r\nTransfer-Encoding: chunked\r\n\r\n" + CHUNKED)
    assert all(each["body"] == "hello" for each in shop.what_arrived())


def _frame(kind: int, flags: int, stream: int, payload: bytes) -> bytes:
    return len(payload).to_bytes(3) + bytes([kind, flags]) + stream.to_bytes(4) + payload


def _field(name: bytes, value: bytes) -> bytes:
    """RFC 7541, 6.2.2: a literal that is not kept, its name written out."""
    return b"\0" + bytes([len(name)]) + name + bytes([len(value)]) + value


def _second_version(length: int, body: bytes) -> bytes:
    """A POST of HTTP/2 (RFC 9113) that says so many bytes and sends these."""
    fields = [
        (b":method", b"POST"),
        (b":path", b"/two"),
        (b":scheme", b"https"),
        (b":authority", b"shop.example"),
    ]
    block = b"".join(_field(*each) for each in [*fields, (b"content-length", str(length).encode())])
    return (
        b"PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n"
        + _frame(4, 0, 0, b"")
        + _frame(1, 4, 1, block)
        + _frame(0, 1, 1, body)
    )


def test_in_the_second_version_a_length_has_to_be_that_of_the_body(shop):
    shop.over_tls(_second_version(5, b"hello"), alpn="h2")
    assert [each["body"] for each in shop.what_arrived()] == ["hello"]
    shop.forget()
    for length in (3, 9):
        shop.over_tls(_second_version(length, b"hello"), alpn="h2")
    assert [each for each in shop.what_arrived() if each["body"] == "hello"] == []


@pytest.mark.parametrize(
    "weak", ["AES256-SHA", "ECDHE-RSA-AES128-SHA", "ECDHE-ECDSA-AES256-SHA384", "AES128-GCM-SHA256"]
)
def test_a_cipher_that_is_not_sealed_or_keeps_no_secret_is_refused(shop, weak):
    with pytest.raises(ssl.SSLError):
        shop.over_tls(b"GET / HTTP/1.1\r\nHost: shop.example\r\n\r\n", ciphers=f"{weak}:@SECLEVEL=0")


def test_a_cipher_of_the_list_is_taken(shop):
    asked = b"GET /one HTTP/1.1\r\nHost: shop.example\r\nConnection: close\r\n\r\n"
    assert b" 200 " in shop.over_tls(asked, ciphers="ECDHE-ECDSA-AES256-GCM-SHA384")
