"""The whole program, its pages and its scripts, by the rules of `source_rules.py`."""

from collections.abc import Callable

import pytest
from django.conf import settings

from shop.calc.drafting import Sentence
from shop.calc.tracing import beyond_the_record
from shop.private_names import without_name
from tests.shop import source_rules

APPS = ("instruments", "workorders", "shop")
# Looked through by hand: words of the program alone, or escaped one by one where they are put together.
PATTERNS_LOOKED_AT = {
    "instruments/calc/wording/loaded.py",  # a list of the program's own terms
    "instruments/calc/wording/parts.py",  # the same
    "instruments/calc/edtf/spoken.py",  # a table of forms beside it
    "instruments/calc/edtf/refusal.py",  # the same
    "instruments/drawings/finish.py",  # names of coverings, a table beside it
    "shop/calc/tracing.py",  # sentences that were drafted, each sign escaped; tried below
    "shop/name_places.py",  # names, each escaped; tried below
    "shop/private_names.py",  # the same
    "shop/demo/measures.py",  # two words of the demo
}
# The form stands in a table of the same module; in tags.py it is reportlab's method of that name.
FORMATS_LOOKED_AT = {
    "instruments/calc/edtf/plain.py",
    "instruments/calc/edtf/spoken.py",
    "instruments/documents/tags.py",
    "instruments/forms/plain.py",
    "shop/forms/choices.py",
    "shop/receipt_words.py",
}


def modules() -> dict[str, str]:
    return {
        str(path.relative_to(settings.BASE_DIR)): path.read_text()
        for app in APPS
        for path in sorted((settings.BASE_DIR / app).rglob("*.py"))
        if "migrations" not in path.parts
    }


def broken(rule: Callable[[str], list[str]], texts: dict[str, str]) -> dict[str, list[str]]:
    return {name: found for name, text in texts.items() if (found := rule(text))}


def test_no_pattern_is_made_of_words_that_are_not_escaped():
    assert set(broken(source_rules.loose_patterns, modules())) <= PATTERNS_LOOKED_AT


HOSTILE = ("A. (B) [C] {2,} *+?|^$", "Olive .*", "(a+)+$", "\\", "[", "Tarn|Ost")


@pytest.mark.parametrize("name", HOSTILE)
def test_signs_of_patterns_in_a_name_mean_themselves(name):
    assert without_name("Nobody else is named here.", name) == "Nobody else is named here."
    drafted = Sentence(text=f"It was {name} who said so.", source="typed")
    assert beyond_the_record("It was Olive Tarn who said so.", [drafted]) == [
        "It was Olive Tarn who said so."
    ]


def test_no_format_comes_from_elsewhere():
    assert set(broken(source_rules.loose_formats, modules())) <= FORMATS_LOOKED_AT


def test_nothing_is_decoded_a_second_time():
    assert broken(source_rules.decodings, modules()) == {}


def test_address_and_body_are_never_asked_in_one_breath():
    allowed = {"shop/views/sign_in.py", "shop/views/listing_voice.py"}  # where to go next; what is tried on
    assert set(broken(source_rules.mixed_sources, modules())) <= allowed


def scripts() -> dict[str, str]:
    return {path.name: path.read_text() for path in (settings.BASE_DIR / "static" / "js").glob("*.js")}


def test_no_script_can_change_the_prototype_of_objects():
    assert len(scripts()) > 5
    assert broken(source_rules.polluting, scripts()) == {}


def test_pages_and_scripts_use_nothing_that_browsers_gave_up():
    pages = {str(path): path.read_text() for path in (settings.BASE_DIR / "templates").rglob("*.html")}
    assert len(pages) > 100
    assert broken(source_rules.dead_technology, pages | scripts()) == {}


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        (source_rules.loose_patterns, "re.search(typed, text)"),
        (source_rules.loose_patterns, 're.compile(rf"\\b{name}\\b")'),
        (source_rules.loose_patterns, "rows.filter(maker__iregex=typed)"),
        (source_rules.loose_formats, "typed.format(user=user)"),
        (source_rules.loose_formats, "typed % (one, two)"),
        (source_rules.decodings, "unquote(request.GET['q'])"),
        (source_rules.decodings, "html.unescape(text)"),
        (source_rules.decodings, "raw.decode('unicode_escape')"),
        (source_rules.mixed_sources, "name = request.POST.get('n') or request.GET.get('n')"),
        (source_rules.mixed_sources, "both = {**request.GET, **request.POST}"),
        (source_rules.polluting, "kept[name] = value;"),
        (source_rules.polluting, "kept.all[draft.id] += 1;"),
        (source_rules.polluting, "Object.assign(kept, JSON.parse(text));"),
        (source_rules.polluting, "for (const name in kept) go(name);"),
        (source_rules.polluting, "kept.__proto__.admin = true;"),
        (source_rules.dead_technology, "<OBJECT data='a.swf'>"),
        (source_rules.dead_technology, "document.write('x')"),
    ],
)
def test_each_rule_sees_what_breaks_it(rule, text):
    assert rule(text)


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        (source_rules.loose_patterns, 're.search(r"a|b", text) or re.sub(rf"{re.escape(name)}", "", text)'),
        (source_rules.loose_formats, '"{} of {}".format(one, two); "%s" % (one,); number % 7'),
        (source_rules.decodings, 'raw.decode("utf-8")'),
        (
            source_rules.polluting,
            "kept.set(name, value); if (rows[0] === last) Object.assign(a, { href: b });",
        ),
    ],
)
def test_each_rule_lets_pass_what_is_well(rule, text):
    assert rule(text) == []
