import pytest
from django.template import Context, Template, TemplateSyntaxError


def drawn(name):
    return Template("{% load icons %}{% icon name %}").render(Context({"name": name}))


def test_an_icon_is_inline_and_silent_to_screen_readers():
    assert drawn("camera").startswith('<svg class="icon"') and 'aria-hidden="true"' in drawn("camera")


def test_an_icon_carries_no_style_attribute():
    assert "style=" not in drawn("camera")


@pytest.mark.parametrize("name", ["no-such-icon", "../css/tokens", "<b>"])
def test_an_unknown_icon_is_refused_by_name(name):
    with pytest.raises(TemplateSyntaxError, match="There is no icon called"):
        drawn(name)
