import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.http import Http404

from instruments.media import serve_file
from instruments.models import Photo

CONTENT = bytes(range(256)) * 800  # 204,800 bytes, more than one piece


@pytest.fixture
def stored():
    name = default_storage.save("originals/abc.jpg", ContentFile(CONTENT))
    return Photo(original=name).original


@pytest.fixture
def ask(rf, stored):
    def ask_for(method="get", media_type="image/jpeg", public=False, download_name=None, **headers):
        request = getattr(rf, method)(
            "/photo/", headers={name.replace("_", "-"): told for name, told in headers.items()}
        )
        return serve_file(request, stored, media_type=media_type, public=public, download_name=download_name)

    return ask_for


def body(answer) -> bytes:
    return b"".join(answer.streaming_content)


def test_whole_file_comes_with_its_length(ask):
    answer = ask()
    assert (answer.status_code, answer["Content-Length"], body(answer)) == (200, "204800", CONTENT)


@pytest.mark.parametrize(
    ("asked", "first", "last"),
    [
        ("bytes=0-0", 0, 0),
        ("bytes=0-99", 0, 99),
        ("bytes=100-", 100, 204_799),
        ("bytes=-50", 204_750, 204_799),
        ("bytes=-999999", 0, 204_799),
        ("bytes=204799-", 204_799, 204_799),
        ("bytes=200000-999999", 200_000, 204_799),
        ("bytes=10-150009", 10, 150_009),
    ],
)
def test_part_of_a_file(ask, asked, first, last):
    answer = ask(Range=asked)
    assert (answer.status_code, answer["Content-Range"]) == (206, f"bytes {first}-{last}/204800")
    assert (answer["Content-Length"], body(answer)) == (str(last - first + 1), CONTENT[first : last + 1])


@pytest.mark.parametrize("asked", ["bytes=204800-", "bytes=999999-1000000", "bytes=-0"])
def test_part_that_is_not_there_is_refused(ask, asked):
    answer = ask(Range=asked)
    assert (answer.status_code, answer["Content-Range"]) == (416, "bytes */204800")


@pytest.mark.parametrize("asked", ["bytes=9-2", "bytes=0-1,5-9", "lines=1-2", "bytes=a-b", "bytes=-", ""])
def test_part_asked_for_in_another_way_is_answered_with_the_whole(ask, asked):
    assert ask(Range=asked).status_code == 200


def test_part_is_given_when_the_file_is_still_the_same(ask):
    etag = ask()["ETag"]
    assert ask(Range="bytes=0-9", If_Range=etag).status_code == 206


def test_whole_is_given_when_the_file_is_another_one_by_now(ask):
    assert ask(Range="bytes=0-9", If_Range='"older"').status_code == 200


def test_file_that_has_not_changed_is_not_sent_again(ask):
    first = ask()
    assert ask(If_None_Match=first["ETag"]).status_code == 304
    assert ask(If_Modified_Since=first["Last-Modified"]).status_code == 304


def test_unchanged_answer_still_says_who_may_keep_it(ask):
    assert ask(If_None_Match=ask()["ETag"])["Cache-Control"] == "private, no-cache"


def test_head_says_the_length_and_ranges(ask):
    answer = ask(method="head", Range="bytes=0-9")
    assert (answer.status_code, answer["Content-Length"], answer["Accept-Ranges"]) == (200, "204800", "bytes")


def test_private_file_is_kept_by_no_shared_cache(ask):
    assert ask()["Cache-Control"] == "private, no-cache"


def test_public_file_may_be_kept_by_everybody(ask):
    assert ask(public=True)["Cache-Control"] == "public, max-age=86400, immutable"


def test_file_can_run_nothing_and_is_taken_for_nothing_else(ask):
    answer = ask()
    assert answer["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert answer["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize(
    ("media_type", "download_name", "disposition"),
    [
        ("image/jpeg", None, "inline"),
        ("image/webp", None, "inline"),
        ("image/heic", None, "attachment"),
        ("image/svg+xml", None, "attachment"),
        ("text/html", None, "attachment"),
        ("application/pdf", "sheet.pdf", 'attachment; filename="sheet.pdf"'),
        ("image/jpeg", "front.jpg", 'attachment; filename="front.jpg"'),
        ("image/jpeg", "Flügel.jpg", "attachment; filename*=utf-8''Fl%C3%BCgel.jpg"),
        ("image/jpeg", 'a"b.jpg', 'attachment; filename="a\\"b.jpg"'),
        ("image/jpeg", "a\r\nX-Evil: 1.jpg", 'attachment; filename="aX-Evil: 1.jpg"'),
        ("image/jpeg", "../../x.jpg", 'attachment; filename="x.jpg"'),
    ],
)
def test_only_pictures_are_shown_and_names_are_safe(ask, media_type, download_name, disposition):
    assert ask(media_type=media_type, download_name=download_name)["Content-Disposition"] == disposition


def test_row_without_a_file_is_not_found(rf):
    with pytest.raises(Http404):
        serve_file(rf.get("/"), Photo().original, media_type="image/jpeg")


def test_missing_file_is_not_found_and_is_noted(ask, stored, caplog):
    default_storage.delete(stored.name)
    with pytest.raises(Http404):
        ask()
    assert stored.name in caplog.text
