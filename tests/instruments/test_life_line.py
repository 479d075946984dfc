"""The life line drawn: what its shapes are, that nothing lies on anything else, and its three outputs.
Every story here is invented."""

import xml.etree.ElementTree as ElementTree
from datetime import date
from itertools import combinations, pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from instruments.drawings import ink
from instruments.drawings.life_line import Entry, life_line, mark_of, upright_life_line
from instruments.drawings.life_line.entries import span_of
from instruments.drawings.life_line.lettering import set_label, width_of
from instruments.drawings.life_line.stacking import lanes_of, spread
from instruments.drawings.picture import to_image
from instruments.drawings.shapes import Ellipse, Group, Line, Path, Rect, Text
from instruments.drawings.svg import to_svg

TODAY = date(2026, 4, 12)
WAYS = [life_line, upright_life_line]
LIFE = [
    Entry("Made", "about 1912", "1910/1914"),
    Entry("One family", "from 1921, as told", "1921/2024", "told", lasts=True, href="#statement-2"),
    Entry("New key tops?", "1950s, inferred", "195X", "inferred"),
    Entry("Strings replaced", "claimed 1988", "1988", "contradicted"),
    Entry("Hammers refaced", "2019, invoice", "2019"),
    Entry("Bought", "21 March 2026", "2026-03-21", kind="purchase"),
    Entry("Action cleaned", "31 March 2026", "2026-03-31", kind="work"),
    Entry("On trial", "until 2 May 2026", "2026-04-02/2026-05-02", kind="promise", lasts=True),
    Entry("Used by a school", mark="told"),
]


def groups(drawing) -> list[Group]:
    return [shape for shape in drawing.shapes if isinstance(shape, Group)]


def group_of(drawing, label) -> Group:
    (found,) = [group for group in groups(drawing) if group.title.startswith(label)]
    return found


def box(shape) -> tuple[float, float, float, float]:
    """Left, top, right, bottom; of letters from the height of an x's line to their feet."""
    match shape:
        case Text():
            width = width_of(shape.text, shape.face, shape.size)
            left = shape.x - {"start": 0, "middle": width / 2, "end": width}[shape.anchor]
            return left, shape.y - shape.size * 0.72, left + width, shape.y + shape.size * 0.2
        case Rect():
            return shape.x, shape.y, shape.x + shape.width, shape.y + shape.height
        case Line():
            xs, ys = sorted((shape.x1, shape.x2)), sorted((shape.y1, shape.y2))
            return xs[0], ys[0], xs[1], ys[1]
        case Ellipse():
            return shape.cx - shape.rx, shape.cy - shape.ry, shape.cx + shape.rx, shape.cy + shape.ry
        case Path(steps=steps):
            xs, ys = (
                [step[1] for step in steps if len(step) > 1],
                [step[2] for step in steps if len(step) > 1],
            )
            return min(xs), min(ys), max(xs), max(ys)


def touch(one, other) -> bool:
    slack = 0.5
    return (
        one[0] < other[2] - slack
        and other[0] < one[2] - slack
        and one[1] < other[3] - slack
        and other[1] < one[3] - slack
    )


def around(shapes) -> tuple[float, float, float, float]:
    lefts, tops, rights, bottoms = zip(*map(box, shapes), strict=True)
    return min(lefts), min(tops), max(rights), max(bottoms)


def collisions(drawing) -> list[tuple[str, str]]:
    """Letters on letters anywhere, and letters of one entry on the marks of another."""
    letters = [(shape, box(shape)) for shape in drawing.ungrouped if isinstance(shape, Text)]
    found = [(a.text, b.text) for (a, one), (b, other) in combinations(letters, 2) if touch(one, other)]
    for group in groups(drawing):
        marks = around([shape for shape in group.shapes if not isinstance(shape, Text)])
        strangers = [(words.text, at) for words, at in letters if words not in group.shapes]
        found += [(words, group.title) for words, at in strangers if touch(at, marks)]
    return found


def outside(drawing) -> list:
    return [
        shape
        for shape in drawing.ungrouped
        if box(shape)[0] < -0.5 or box(shape)[2] > drawing.width + 0.5 or box(shape)[3] > drawing.height + 0.5
    ]


@pytest.mark.parametrize("draw", WAYS)
def test_every_dated_entry_stands_on_the_line_in_the_order_of_time(draw):
    titles = [group.title.split(":")[0] for group in groups(draw(LIFE[::-1], today=TODAY))]
    assert titles == [f"{entry.label} {entry.detail}" for entry in LIFE if entry.dated]


@pytest.mark.parametrize("draw", WAYS)
def test_what_has_no_date_is_named_below(draw):
    words = [shape.text for shape in draw(LIFE, today=TODAY).ungrouped if isinstance(shape, Text)]
    assert "Without a date:" in words and "Used by a school" in words


@pytest.mark.parametrize("draw", WAYS)
def test_the_line_is_named_and_described_in_words(draw):
    drawing = draw(LIFE, today=TODAY, subject="Halden & Rook 26-014")
    assert drawing.name == "Life line of Halden & Rook 26-014"
    assert drawing.description == (
        "8 entries: 2 seen, measured or documented, 1 as told, 1 inferred, 1 did not bear testing, "
        "1 bought by us, 1 work done here, 1 hold, trial or sale. "
        "It begins with “Made” (between 1910 and 1914) and ends with “On trial” "
        "(between 2 April 2026 and 2 May 2026). The table below says the same in words."
    )


@pytest.mark.parametrize("draw", WAYS)
@pytest.mark.parametrize("entries", [[], [Entry("Used by a school")]])
def test_a_life_without_dates_says_so_and_draws_no_years(draw, entries):
    words = [shape.text for shape in draw(entries, today=TODAY).ungrouped if isinstance(shape, Text)]
    assert words[0] == "Nothing on file has a date yet." and not [word for word in words if word.isdigit()]


def looks(label) -> set:
    """The colours, hatching and dashes of one entry's marks."""
    marks = [
        shape for shape in group_of(life_line(LIFE, today=TODAY), label).shapes if not isinstance(shape, Text)
    ]
    dashed = {"dashed" for shape in marks if shape.dash}
    slanted = {
        "slanted"
        for shape in marks
        if shape.stroke and 0 not in (box(shape)[2] - box(shape)[0], box(shape)[3] - box(shape)[1])
    }
    return {shape.fill or shape.stroke for shape in marks} | dashed | slanted


@pytest.mark.parametrize(
    ("label", "look"),
    [
        ("Hammers refaced", {ink.INK}),
        ("One family", {ink.SHEET, ink.INK, "slanted"}),
        ("New key tops?", {ink.SHEET, ink.INK, "dashed"}),
        ("Strings replaced", {ink.SHEET, ink.RED, "slanted"}),
        ("Action cleaned", {ink.GREEN, ink.SHEET}),
        ("Bought", {ink.INK}),
    ],
)
def test_each_grade_has_its_own_mark(label, look):
    assert looks(label) == look


def test_no_two_marks_are_told_apart_by_colour_alone():
    drawing = life_line(LIFE, today=TODAY)
    forms = {}
    for label in (
        "Hammers refaced",
        "One family",
        "New key tops?",
        "Strings replaced",
        "Action cleaned",
        "Bought",
        "On trial",
    ):
        marks = [shape for shape in group_of(drawing, label).shapes if not isinstance(shape, Text)]
        forms[label] = tuple(type(shape).__name__ + str(bool(shape.dash)) for shape in marks)
    assert len(set(forms.values())) == len(forms)


def test_a_date_between_two_has_soft_ends_and_a_known_year_has_not():
    drawing = life_line(LIFE, today=TODAY)
    stripes = {
        label: sum(isinstance(shape, Line) for shape in group_of(drawing, label).shapes)
        for label in ("Made", "Hammers refaced")
    }
    assert stripes["Made"] >= 4 and stripes["Hammers refaced"] == 0


@pytest.mark.parametrize(
    ("dated", "lasts", "years"),
    [
        ("1912", False, (1912, 1912, 1912, 1912)),
        ("1910/1914", False, (1910, 1911, 1913, 1914)),
        ("195X", False, (1950, 1952, 1957, 1959)),
        ("1921/1987", True, (1921, 1921, 1987, 1987)),
        ("192X/198X", True, (1920, 1929, 1980, 1989)),
        ("192X/192X", True, (1920, 1924, 1924, 1929)),
        ("1921/..", True, (1921, 1921, 2026, 2026)),
        ("1921/", True, (1921, 1921, 1921, None)),
        ("../1921", True, (None, 1921, 1921, 1921)),
        ("../1921", False, (None, 1921, 1921, 1921)),
        ("[1910,1920]", False, (1910, 1912, 1918, 1920)),
    ],
)
def test_a_date_reaches_from_its_softest_to_its_firmest_day(dated, lasts, years):
    span = span_of(Entry("x", dated=dated, lasts=lasts), TODAY)
    days = (span.soft_from, span.firm_from, span.firm_to, span.soft_to)
    assert tuple(day and date.fromordinal(day).year for day in days) == years


@pytest.mark.parametrize(
    ("grade", "standing", "mark"),
    [
        ("seen", "", "firm"),
        ("document", "supported", "firm"),
        ("told", "as told", "told"),
        ("told", "supported", "told"),
        ("inferred", "open", "inferred"),
        ("document", "contradicted", "contradicted"),
    ],
)
def test_the_mark_follows_grade_and_standing(grade, standing, mark):
    assert mark_of(grade, standing) == mark


@pytest.mark.parametrize("fields", [{"mark": "sure"}, {"kind": "dream"}, {"dated": "199u"}])
def test_an_entry_in_unknown_words_is_refused(fields):
    with pytest.raises(ValueError):
        Entry("Made", **fields)


LONG = "Thursby & Lund Collection of Early Keyboard Instruments, upper hall, " * 3
MANY = [
    Entry(
        ["Tuned", "Moved to a smaller room upstairs", LONG][place % 3],
        ["", f"a card of {1790 + place * 6}", LONG][place % 3],
        [f"{1790 + place * 6}", f"{1790 + place * 5}/2026", "/1850", "1840/..", f"{1800 + place}~"][
            place % 5
        ],
        ["firm", "told", "inferred", "contradicted"][place % 4],
        lasts=place % 2 == 0,
    )
    for place in range(40)
]


@pytest.mark.parametrize("draw", WAYS)
@pytest.mark.parametrize("count", [1, 2, 5, 12, 40])
def test_from_one_to_forty_entries_since_1790_nothing_lies_on_anything_else(draw, count):
    drawing = draw(MANY[:count], today=TODAY)
    assert collisions(drawing) == [] and outside(drawing) == []


@pytest.mark.parametrize("width", [480, 760, 1176, 1600])
def test_a_line_keeps_its_letters_apart_at_every_width(width):
    drawing = life_line(LIFE, today=TODAY, width=width)
    assert collisions(drawing) == [] and outside(drawing) == []


@pytest.mark.parametrize("width", [288, 328, 400])
def test_an_upright_line_keeps_its_letters_apart_on_every_phone(width):
    drawing = upright_life_line(LIFE, today=TODAY, width=width)
    assert collisions(drawing) == [] and outside(drawing) == []


def test_forty_entries_of_one_day_still_have_each_their_own_words():
    crowd = [Entry(f"Tuned {n}", "as told", "1990", "told") for n in range(40)]
    for draw in WAYS:
        assert collisions(draw(crowd, today=TODAY)) == []


words = st.text(st.characters(categories=["L", "N"], max_codepoint=0x17F), max_size=14)
phrases = st.lists(words, max_size=9).map(" ".join)
years = st.integers(1790, 2026)
dates = st.one_of(
    years.map(str),
    years.map("{}~".format),
    st.tuples(years, years).map(lambda pair: f"{min(pair)}/{max(pair)}"),
    years.map("../{}".format),
    years.map("{}/".format),
    st.just(""),
)
entries = st.builds(
    Entry, phrases, phrases, dates, st.sampled_from(["firm", "told", "inferred", "contradicted"]),
    st.sampled_from(["statement", "work", "promise", "purchase"]), st.booleans(),
)  # fmt: skip


def an_entry(label: str, detail: str, dated: str) -> Entry:
    return Entry(label, detail, dated, "firm", "statement", False)


CROWDED_YEARS = [an_entry("", "", year) for year in ("1790", "1790", "1790", "1812", "1812", "1830")]
# The last word of its last line is narrower than the ellipsis that took its place.
NARROW_LAST_WORD = an_entry(
    "0 0000 00000000Œ 00000000000000 0",
    "0000000000000M 0000000000000 0M 00000 0000000¼ 0000000000 0 0 0",
    "1812",
)


@example([*CROWDED_YEARS, NARROW_LAST_WORD], WAYS[0])
@example([*CROWDED_YEARS, NARROW_LAST_WORD], WAYS[1])
@settings(max_examples=40, deadline=None)
@given(st.lists(entries, min_size=1, max_size=12), st.sampled_from(WAYS))
def test_whatever_is_on_file_nothing_lies_on_anything_else(life, draw):
    drawing = draw(life, today=TODAY)
    assert collisions(drawing) == [] and outside(drawing) == []


@pytest.mark.parametrize("draw", WAYS)
def test_a_line_is_well_formed_and_carries_no_style(draw):
    elements = list(ElementTree.fromstring(to_svg(draw(MANY, today=TODAY))).iter())
    assert not [element for element in elements if "style" in element.attrib or "id" in element.attrib]


@pytest.mark.parametrize("draw", WAYS)
def test_an_entry_with_an_address_can_be_reached_by_keyboard_and_says_what_it_is(draw):
    root = ElementTree.fromstring(to_svg(draw(LIFE, today=TODAY)))
    (link,) = [element for element in root if element.tag.endswith("}a")]
    assert link.attrib["href"] == "#statement-2"
    assert link.attrib["aria-label"] == "One family from 1921, as told: as told"
    assert root.attrib["role"] == "group"


def test_without_links_a_line_is_one_picture():
    assert 'role="img"' in to_svg(life_line(LIFE[:1], today=TODAY))


@pytest.mark.parametrize("href", ["javascript:alert(1)", "https://example.com/", "//example.com"])
def test_a_drawing_never_links_elsewhere(href):
    with pytest.raises(ValueError, match="within these pages"):
        to_svg(life_line([Entry("Made", dated="1912", href=href)], today=TODAY))


def test_words_are_escaped():
    svg = to_svg(life_line([Entry("<b>", '"&', "1912", href="#a")], today=TODAY))
    assert "<b>" not in svg and "&lt;b&gt;" in svg


def test_a_line_becomes_a_picture():
    drawing = life_line(LIFE, today=TODAY)
    image = to_image(drawing, width_px=600)
    assert image.width == 600 and len(image.getcolors(100_000)) > 10


def test_labels_that_do_not_fit_go_on_below_one_another():
    drawing = life_line([Entry(LONG, LONG, "1912")], today=TODAY, width=480)
    (entry,) = groups(drawing)
    baselines = {shape.y for shape in entry.shapes if isinstance(shape, Text)}
    assert len(baselines) == 4


def test_a_word_longer_than_a_line_is_broken():
    label = set_label("W" * 60, "", 150)
    assert len(label.lines) > 1 and label.width <= 150


def test_a_label_too_long_for_four_lines_ends_with_an_ellipsis():
    label = set_label(LONG, LONG, 150)
    assert len(label.lines) == 4 and label.lines[-1][-1].text.endswith("…")


@given(st.lists(st.tuples(st.integers(0, 90), st.integers(0, 30)), max_size=12))
def test_bars_in_one_lane_keep_apart(bars):
    bars = [(start, start + length) for start, length in bars]
    placed = list(zip(bars, lanes_of(bars), strict=True))
    for (one, lane), (other, other_lane) in combinations(placed, 2):
        assert lane != other_lane or one[1] + 10 <= other[0] or other[1] + 10 <= one[0]


@given(st.lists(st.tuples(st.floats(0, 300), st.floats(8, 40)), max_size=10))
def test_labels_stay_apart_in_order_and_inside(wanted):
    anchors, heights = [anchor for anchor, _ in wanted], [height for _, height in wanted]
    middles = spread(anchors, heights, 0, 400)
    order = sorted(range(len(wanted)), key=lambda place: anchors[place])
    ends = [(middles[n] - heights[n] / 2, middles[n] + heights[n] / 2) for n in order]
    assert all(before[1] <= after[0] + 1e-6 for before, after in pairwise(ends))
    assert all(start >= -1e-6 and end <= 400 + 1e-6 for start, end in ends)


def test_a_label_with_room_stands_at_its_anchor():
    assert spread([50, 200], [20, 20], 0, 300) == [50, 200]
