import pytest

from instruments.file_names import shown_file_name


@pytest.mark.parametrize(
    ("given", "shown"),
    [
        ("front.jpg", "front.jpg"),
        ("../../etc/front.jpg", "front.jpg"),
        ("..\\front.jpg", "front.jpg"),
        ("a\0.jpg", "a.jpg"),
        ("a\r\nSet-Cookie: x.jpg", "aSet-Cookie: x.jpg"),
        ("invoice\u202egpj.exe", "invoicegpj.exe"),
        (".htaccess", "htaccess"),
        ("Flügel \U0001f3b9.jpg", "Flügel \U0001f3b9.jpg"),
        ('"><img src=x onerror=a>.jpg', '"><img src=x onerror=a>.jpg'),
        ("", "file"),
        ("...", "file"),
        (None, "file"),
    ],
)
def test_shown_file_name_is_one_printable_part(given, shown):
    assert shown_file_name(given) == shown


def test_shown_file_name_is_short_and_keeps_its_ending():
    assert shown_file_name("x" * 300 + ".jpg") == "x" * 96 + ".jpg"


def test_shown_file_name_without_an_ending_is_cut():
    assert shown_file_name("x" * 300) == "x" * 100
