import pytest

from tests.house_rules import imports
from tests.house_rules.sources import Source


def source(name: str, text: str = "", *, is_package: bool = False) -> Source:
    return Source(name, text, is_package)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("instruments.views.stock", "from shop.models import Payment"),
        ("instruments.models", "import workorders.models"),
        ("workorders.actions.orders", "def act():\n    from shop import costs"),
        ("instruments.migrations.0001_initial", "from shop import states"),
    ],
)
def test_import_from_a_higher_app_is_seen(name, text):
    assert len(imports.upward_imports([source(name, text)])) == 1


def test_import_from_a_lower_app_is_right():
    assert (
        imports.upward_imports([source("shop.costs", "from workorders import costs\nimport instruments")])
        == []
    )


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("instruments.models.piano", 'owner = ForeignKey("shop.Person", on_delete=PROTECT)'),
        ("workorders.migrations.0002_more", 'dependencies = [("shop", "0001_initial")]'),
        ("workorders.views.orders", 'return render(request, "shop/listing.html")'),
        ("instruments.views.stock", "reverse('workorders:order_page')"),
        ("workorders.views.orders", '@permission_required("shop.see_costs")'),
    ],
)
def test_name_of_something_in_a_higher_app_is_seen(name, text):
    assert len(imports.upward_names([source(name, text)])) == 1


def test_name_of_something_in_the_same_or_a_lower_app_is_right():
    text = 'ForeignKey("instruments.Instrument")\nrender(request, "workorders/order_page.html")'
    assert imports.upward_names([source("workorders.models.order", text)]) == []


def test_import_inside_a_function_is_seen():
    text = "class A:\n    def act(self):\n        if True:\n            from instruments import photos"
    assert imports.late_imports([source("instruments.views.stock", text)]) == [
        "instruments.views.stock:4 imports instruments.photos inside a function"
    ]


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("shop.apps", "def ready(self):\n    from shop import checks"),
        ("instruments.exports", "def write():\n    from openpyxl import Workbook"),
        ("shop.documents.sheet", "def build():\n    from shop.documents.sheet_layout import lay_out"),
        ("shop.views.today", "try:\n    import pysqlite3\nexcept ImportError:\n    pass"),
    ],
)
def test_late_import_with_a_reason_is_right(name, text):
    assert imports.late_imports([source(name, text)]) == []


@pytest.mark.parametrize(
    "text",
    [
        "from django.utils import timezone",
        "import instruments.models",
        "from shop import costs",
        "def late():\n    import django",
        "from ..models import Instrument",
    ],
)
def test_calculation_that_knows_more_than_numbers_is_seen(text):
    assert len(imports.impure_calculations([source("shop.calc.margin", text)])) == 1


def test_calculation_on_the_standard_library_and_other_calculations_is_right():
    text = "from decimal import Decimal\nfrom workorders.calc.money import half_up\nfrom .offer import most"
    assert imports.impure_calculations([source("shop.calc.margin", text)]) == []


def test_layer_that_imports_a_higher_one_is_seen():
    sources = [source("shop.models.trial", "from shop.actions import ledger"), source("shop.actions.ledger")]
    assert imports.layers_upside_down(sources) == [
        "shop.models.trial reaches shop.actions.ledger through shop.models.trial"
    ]


def test_layer_that_reaches_a_higher_one_through_a_module_between_is_seen():
    sources = [
        source("shop.problems", "from shop import facts"),
        source("shop.facts", "from shop.forms.money import parse"),
        source("shop.forms.money"),
    ]
    assert imports.layers_upside_down(sources) == [
        "shop.problems reaches shop.forms.money through shop.facts"
    ]


def test_layers_in_their_order_are_right():
    sources = [
        source("shop.views.today", "from shop.actions import ledger\nfrom shop import facts"),
        source("shop.facts", "from shop.models import Sale"),
        source("shop.actions.ledger", "from shop.models import Sale"),
        source("shop.models", "from shop.calc.margin import tax", is_package=True),
        source("shop.calc.margin"),
    ]
    assert imports.layers_upside_down(sources) == []


def test_higher_layer_of_a_lower_app_is_no_matter():
    sources = [
        source("shop.actions.a", "from instruments.views import once"),
        source("instruments.views.once"),
    ]
    assert imports.layers_upside_down(sources) == []


def test_cycle_is_seen_once():
    sources = [
        source("shop.a", "from shop.b import x"),
        source("shop.b", "from shop.c import x"),
        source("shop.c", "import shop.a"),
    ]
    assert imports.import_cycles(sources) == ["shop.a -> shop.b -> shop.c -> shop.a"]


def test_two_roads_to_one_place_are_no_cycle():
    sources = [
        source("shop.a", "from shop import b, c"),
        source("shop.b", "from shop import d"),
        source("shop.c", "from shop import d"),
        source("shop.d"),
    ]
    assert imports.import_cycles(sources) == []


def test_relative_import_is_followed_from_module_and_package():
    module = source("shop.models.trial", "from . import ledger")
    package = source("shop.models", "from .trial import Trial", is_package=True)
    assert [found.target for each in (module, package) for found in each.imports] == [
        "shop.models.ledger",
        "shop.models.trial.Trial",
    ]
