import pytest
from django.template import Context, Template


@pytest.mark.parametrize(
    ("source", "printed"),
    [
        ("{{ row.amount|money }}", "£1,250.00"),
        ("{{ row.amount|price }}", "£1,250"),
        ("{{ row.nothing|money }}", ""),
        ("{{ no_row.amount|money }}", ""),
        ("{{ no_row.amount|price }}", ""),
    ],
)
def test_what_is_not_known_prints_nothing(source, printed):
    context = Context({"row": {"amount": 125_000, "nothing": None}, "no_row": None})
    assert Template("{% load money %}" + source).render(context) == printed
