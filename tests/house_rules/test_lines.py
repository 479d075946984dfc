import pytest

from tests.house_rules import lines
from tests.house_rules.sources import Source

VIEW = "@require_POST\ndef photo_add(request):\n    return request.FILES"


@pytest.mark.parametrize(
    "text",
    [
        "csv.writer(target)",
        "csv.DictWriter(target, [])",
        "mark_safe(words)",
        "safestring.mark_safe(words)",
        "SafeString(words)",
        "Paragraph(words, style)",
        "platypus.Paragraph(words, style)",
        "Image.open(upload)",
        "Piano.objects.raw('SELECT 1')",
        "Piano.objects.extra(where=[])",
        "RawSQL('SELECT 1', [])",
    ],
)
def test_call_that_has_one_door_is_seen_elsewhere(text):
    assert len(lines.doors_gone_round([Source("shop.views.today", text)])) == 1


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("instruments.exports", "csv.writer(target)"),
        ("instruments.documents.text", "Paragraph(words, style)"),
        ("shop.views.today", "csv.reader(source)\nwriter(target)\nformat_html('{}', words)"),
    ],
)
def test_call_at_its_own_door_is_right(name, text):
    assert lines.doors_gone_round([Source(name, text)]) == []


@pytest.mark.parametrize(
    "text",
    ["class Meta:\n    fields = '__all__'", "class Meta:\n    exclude = ['owner']", "fields = '__all__'"],
)
def test_form_that_takes_whatever_comes_is_seen(text):
    assert len(lines.open_ended_forms([Source("shop.forms.people", text)])) == 1


def test_form_that_names_its_fields_is_right():
    assert lines.open_ended_forms([Source("shop.forms.people", "class Meta:\n    fields = ['name']")]) == []


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("instruments.models.weighing", "down_g = models.FloatField()"),
        ("shop.models.sale", "price_minor = models.DecimalField()"),
        ("shop.models.sale", "price = models.DecimalField()"),
        ("shop.models.ledger", "amount = models.PositiveIntegerField()"),
        ("shop.calc.margin", "tax = sale * 0.2"),
        ("workorders.calc.money", "float(text)"),
    ],
)
def test_inexact_money_is_seen(name, text):
    assert len(lines.inexact_money([Source(name, text)])) == 1


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("shop.models.sale", "price_minor = models.BigIntegerField()"),
        ("shop.models.profile", "deposit_percent = models.DecimalField()"),
        ("shop.models.sale", "paid_by = models.ForeignKey(Person)"),
        ("instruments.calc.climate", "return 0.5 * float(text)"),
    ],
)
def test_exact_money_and_inexact_weather_are_right(name, text):
    assert lines.inexact_money([Source(name, text)]) == []


def test_view_that_takes_files_unmarked_is_seen():
    assert len(lines.unmarked_uploads([Source("instruments.views.photos", VIEW)])) == 1


def test_view_that_takes_files_by_a_helper_is_seen():
    view = "@require_POST\ndef item_close(request):\n    _kept(request)"
    text = f"{view}\n\ndef _kept(request):\n    request.FILES"
    assert len(lines.unmarked_uploads([Source("workorders.views.closing", text)])) == 1


def test_marked_view_may_take_files():
    assert lines.unmarked_uploads([Source("instruments.views.photos", f"@accepts_uploads\n{VIEW}")]) == []


def test_view_without_its_methods_is_seen():
    text = "@permission_required('shop.sell')\ndef trial_start(request):\n    pass"
    assert len(lines.views_without_methods([Source("shop.views.trials", text)])) == 1


def test_view_with_its_methods_is_right():
    assert lines.views_without_methods([Source("instruments.views.photos", VIEW)]) == []


def test_function_that_is_no_view_needs_no_methods():
    text = "@cache\ndef words(name):\n    pass\n\ndef act_once(request, act):\n    pass"
    assert lines.views_without_methods([Source("shop.views.answers", text)]) == []


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("shop.costs", "x = 1\n" * 301),
        ("shop.views.today", "@require_GET\ndef today(request):\n" + "    x = 1\n" * 30),
    ],
)
def test_overlong_module_or_view_is_seen(name, text):
    assert len(lines.overlong([Source(name, text)])) == 1


def test_migrations_may_be_as_long_as_they_are():
    assert lines.overlong([Source("shop.migrations.0001_initial", "x = 1\n" * 301)]) == []
