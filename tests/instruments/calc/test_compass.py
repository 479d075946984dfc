import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc import compass


# Source: "Piano key frequencies", infogalactic.com.
@pytest.mark.parametrize(
    ("key", "name"), [(1, "A0"), (2, "A#0"), (4, "C1"), (40, "C4"), (49, "A4"), (85, "A7"), (88, "C8")]
)
def test_keys_are_named_as_in_the_published_table(key, name):
    assert compass.note_name(key) == name


@pytest.mark.parametrize("key", [0, -8, 89, 99])
def test_a_key_outside_the_88_has_no_note_name(key):
    with pytest.raises(ValueError, match="88"):
        compass.note_name(key)


@pytest.mark.parametrize(("key", "name"), [(-8, "C0"), (0, "G#0"), (1, "A0"), (88, "C8"), (99, "B8")])
def test_wider_keyboards_keep_naming_their_keys(key, name):
    assert compass.pitch_name(key) == name


@pytest.mark.parametrize("key", [-9, 100])
def test_no_keyboard_reaches_beyond_c0_to_b8(key):
    with pytest.raises(ValueError, match="There is no key"):
        compass.pitch_name(key)


def test_a_label_carries_a_real_sharp_sign():
    assert compass.note_label(41) == "C♯4"


@pytest.mark.parametrize(("key", "midi"), [(1, 21), (40, 60), (49, 69), (85, 105), (88, 108)])
def test_midi_numbers_from_memory_of_midi_1_0(key, midi):
    assert compass.midi_number(key) == midi


# Source: "Piano key frequencies", infogalactic.com.
@pytest.mark.parametrize(
    ("key", "hertz"),
    [(1, 27.5), (13, 55), (25, 110), (37, 220), (49, 440), (61, 880), (73, 1760), (85, 3520)],
)
def test_every_a_is_exact(key, hertz):
    assert compass.frequency_hz(key) == hertz


# Source: "Piano key frequencies", infogalactic.com.
@pytest.mark.parametrize(
    ("key", "hertz"),
    [
        (4, 32.703),
        (28, 130.813),
        (40, 261.626),
        (52, 523.251),
        (64, 1046.502),
        (83, 3135.96),
        (84, 3322.44),
        (86, 3729.31),
        (87, 3951.07),
        (88, 4186.009),
    ],
)
def test_pitches_agree_with_the_published_table(key, hertz):
    published_places = 1e-3 if key <= 64 or key == 88 else 6e-3  # the table prints two places up there
    assert compass.frequency_hz(key) == pytest.approx(hertz, abs=published_places)


# Source: 2^(3/12), derived from the same table.
def test_c8_stands_three_semitones_above_a7():
    assert compass.frequency_hz(88) / compass.frequency_hz(85) == pytest.approx(1.189207, abs=1e-6)


def test_another_a4_moves_every_key():
    assert compass.frequency_hz(37, a4_hz=435) == 217.5


def test_a_pitch_of_nothing_is_refused():
    with pytest.raises(ValueError, match="above 0"):
        compass.frequency_hz(49, a4_hz=0)


@given(st.integers(1, 88))
def test_midi_number_and_pitch_agree(key):
    assert compass.frequency_hz(key) == pytest.approx(440 * 2 ** ((compass.midi_number(key) - 69) / 12))


# Source: derived from the same table.
@pytest.mark.parametrize(("key_count", "naturals", "sharps"), [(88, 52, 36), (85, 50, 35)])
def test_naturals_and_sharps_count_up(key_count, naturals, sharps):
    found = [compass.is_sharp(key) for key in range(1, key_count + 1)]
    assert (found.count(False), found.count(True)) == (naturals, sharps)


# Source: derived from the same table.
@pytest.mark.parametrize(
    ("first_key", "key_count", "missing"),
    [(1, 88, ()), (1, 85, (86, 87, 88)), (-8, 97, ()), (4, 85, (1, 2, 3)), (2, 86, (1, 88))],
)
def test_keys_missing_from_the_88_are_named(first_key, key_count, missing):
    assert compass.missing_from_88(first_key, key_count) == missing


def test_a_keyboard_without_keys_is_refused():
    with pytest.raises(ValueError, match="at least one key"):
        compass.missing_from_88(1, 0)


@pytest.mark.parametrize(
    ("first_key", "key_count", "sentence"),
    [
        (1, 88, "88 keys, A0 to C8"),
        (1, 85, "85 keys, A0 to A7; the top three notes were not made"),
        (1, 87, "87 keys, A0 to B7; the top note was not made"),
        (9, 73, "73 keys, F1 to F7; the lowest eight and the top seven notes were not made"),
        (-8, 97, "97 keys, C0 to C8; nine below A0, more than the usual 88"),
        (-3, 97, "97 keys, F0 to F8; four below A0 and five above C8, more than the usual 88"),
    ],
)
def test_the_compass_is_told_in_one_sentence(first_key, key_count, sentence):
    assert compass.compass_sentence(first_key, key_count) == sentence


@pytest.mark.parametrize(
    ("first_key", "key_count", "top_note"), [(1, 88, ""), (1, 85, "A7"), (-8, 97, "c8"), (9, 73, " F7 ")]
)
def test_a_true_compass_has_no_problem(first_key, key_count, top_note):
    assert compass.compass_problem(first_key, key_count, top_note) == ""


@pytest.mark.parametrize(
    ("first_key", "key_count", "top_note", "words"),
    [
        (1, 85, "C8", "85 keys from A0 end on A7, not on C8"),
        (1, 12, "", "12 is too few"),
        (40, 88, "", "would run past B8"),
        (-9, 88, "", "first key"),
        (1, 88, "H9", "“H9” is not a note"),
    ],
)
def test_an_impossible_compass_says_why(first_key, key_count, top_note, words):
    assert words in compass.compass_problem(first_key, key_count, top_note)


@pytest.mark.parametrize(
    ("text", "keys"),
    [
        ("", ()),
        ("1-12", tuple(range(1, 13))),
        ("1 – 3; 5 to 6", (1, 2, 3, 5, 6)),
        ("C4", (40,)),
        ("c#4, Db4, C♯4", (41,)),
        ("b3 and bb3", (38, 39)),
        ("A0-C1", (1, 2, 3, 4)),
        ("sharps 1-7", (2, 5, 7)),
        ("all naturals C4-E4", (40, 42, 44)),
        ("1-3, 2, 3", (1, 2, 3)),
        ("85", (85,)),
    ],
)
def test_typed_keys_are_read(text, keys):
    assert compass.parse_keys(text, 1, 85) == keys


@pytest.mark.parametrize(
    ("text", "count"), [("all sharps", 35), ("naturals", 50), ("all", 85), ("All keys", 85)]
)
def test_whole_groups_of_keys_are_read(text, count):
    assert len(compass.parse_keys(text, 1, 85)) == count


# Where a section ends is common practice, no source: B2 and B4, whatever the breaks.
@pytest.mark.parametrize(
    ("text", "keys"),
    [
        ("bass", range(1, 28)),
        ("the tenor", range(28, 52)),
        ("treble", range(52, 86)),
        ("bass, treble", [*range(1, 28), *range(52, 86)]),
        ("sharps in the bass", [2, 5, 7, 10, 12, 14, 17, 19, 22, 24, 26]),
        ("bass sharps", [2, 5, 7, 10, 12, 14, 17, 19, 22, 24, 26]),
        ("C4 E4 G4", [40, 44, 47]),
        ("1-3 7", [1, 2, 3, 7]),
    ],
)
def test_sections_and_words_without_commas_are_read(text, keys):
    assert compass.parse_keys(text, 1, 85) == tuple(keys)


def test_a_section_that_a_short_keyboard_lacks_is_refused():
    with pytest.raises(ValueError, match="no bass on this keyboard"):
        compass.parse_keys("bass", 28, 25)


def test_numbers_count_from_the_lowest_key_of_this_instrument():
    assert compass.parse_keys("1, 97, A0", -8, 97) == (-8, 1, 88)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("86", "no key 86 on this keyboard: it has keys 1 to 85, A0 to A7"),
        ("0", "no key 0"),
        ("C8", "no C8 on this keyboard"),
        ("12-1", "runs backwards"),
        ("middle", "“middle” is not a key"),
        ("H4", "is not a key"),
        ("9" * 5000, "is not a key"),
        ("sharps of all", "is not a key"),
    ],
)
def test_keys_that_cannot_be_read_are_refused_with_the_reason(text, words):
    with pytest.raises(ValueError, match=words):
        compass.parse_keys(text, 1, 85)


@given(st.text(max_size=30))
def test_any_typed_text_is_read_or_refused_by_a_sentence(text):
    try:
        keys = compass.parse_keys(text, 1, 85)
    except ValueError as reason:
        assert str(reason).endswith(".")
    else:
        assert set(keys) <= set(range(1, 86))
