import pytest

from tests.house_rules import templates


@pytest.mark.parametrize(
    "text",
    [
        "{{ words|safe }}",
        "{{ words | safeseq }}",
        "{% autoescape off %}{{ words }}{% endautoescape %}",
        '<a hx-on:click="go()">',
        '<a hx-on="click: go()">',
        '<a onclick="go()">',
        '<img src="x" OnError = "go()">',
        """<a hx-vals='js:{a: 1}'>""",
        '<a href="javascript:go()">',
        '<a hx-trigger="click[ctrlKey]">',
        '<p style="color: red">',
        '<p\n  style="color: red">',
        "<style>p { color: red }</style>",
        "<script>go()</script>",
        '<script type="module">go()</script>',
        "<a href={{ address }}>",
        "<a class={% if on %}on{% endif %}>",
        '<img alt="a > b" width={{ width }}>',
        '<script src="https://example.org/a.js"></script>',
        '<img src="//example.org/a.png">',
        "{% debug %}",
    ],
)
def test_place_where_words_run_as_code_is_seen(text):
    assert len(templates.dangerous_places([("shop/today.html", text)])) == 1


@pytest.mark.parametrize(
    "text",
    [
        '<a href="?state={{ value }}"{% if on %} aria-current="page"{% endif %}>{{ label }}</a>',
        '<a href="{% url "instrument" number %}" class="one {% if a > b %}two{% endif %}">{{ words }}</a>',
        """<body hx-headers='{"X-CSRFToken": "{{ csrf_token }}"}'>""",
        """<script src="{% static 'js/app.js' %}" defer></script>""",
        '<a hx-trigger="change, keyup changed delay:300ms">',
        '<a href="https://example.org/">elsewhere</a>',
        "{# never |safe, never style= #}{% comment %}<p style='x'>{% endcomment %}",
        '<p class="sentence" id="onset">on=off</p>',
        "{{ words|safe_name }}",
    ],
)
def test_safe_place_is_right(text):
    assert templates.dangerous_places([("shop/today.html", text)]) == []


def test_breach_is_told_with_its_line():
    text = "{% comment %}\n\n{% endcomment %}\n<p\n style='x'>"
    assert templates.dangerous_places([("a.html", text)]) == [
        "a.html:5 a style attribute is refused by the policy"
    ]


def test_form_that_posts_without_a_token_is_seen():
    text = "<form method='get'></form>\n<form class='a' method='post'><input></form>"
    assert templates.forms_without_csrf_token([("a.html", text)]) == ["a.html:2 posts without csrf_token"]


def test_form_that_posts_with_a_token_is_right():
    assert (
        templates.forms_without_csrf_token([("a.html", '<form method="post">{% csrf_token %}</form>')]) == []
    )


def test_page_of_a_lower_app_that_names_a_higher_one_is_seen():
    text = "{% include 'shop/includes/price.html' %}\n{% url 'workorders:bench' %}"
    assert len(templates.upward_templates([("instruments/page.html", text)])) == 2


def test_page_of_a_higher_app_and_common_pieces_may_name_the_lower():
    pages = [
        ("shop/page.html", "{% url 'workorders:bench' %}"),
        ("includes/nav.html", "{% url 'shop:people' %}"),
    ]
    assert templates.upward_templates(pages) == []


def test_script_that_is_not_there_is_seen():
    page = """<p>\n<script src="{% static 'js/app.js' %}"></script>{% static 'js/gone.js' %}"""
    assert templates.missing_static_files([("a.html", page)]) == [
        "a.html:2 names js/gone.js, which is not there"
    ]


def test_overlong_template_is_seen():
    assert templates.overlong_templates([("a.html", "<p>\n" * 121)]) == ["a.html has 121 lines"]


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ('<ul><li class="caution"><span>{{ sentence }}</span></li></ul>', 1),
        ('<li class="{% if hard %}blocker{% else %}caution{% endif %}">{{ sentence }}</li>', 1),
        ('<li class="caution">{% icon "info" %} <span>{{ sentence }}</span></li>', 0),
        ('<li class="blocker">\n  {% if a %}{% icon "info" %}{% endif %}{{ sentence }}</li>', 0),
        ('<li class="row">{{ sentence }}</li>', 0),
    ],
)
def test_problem_without_a_sign_beside_its_colour_is_seen(text, found):
    assert len(templates.problems_by_colour_alone([("a.html", text)])) == found
