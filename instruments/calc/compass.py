"""The compass of a keyboard: names, numbers and pitches of its keys.

Keys carry the numbers of the modern 88: key 1 is A0, key 40 is C4, key 88 is C8. Instruments with fewer
keys use the same numbers, and the few with more run below 1 or above 88.
Source of numbering and pitch: f(n) = 440 * 2^((n - 49) / 12), "Piano key frequencies" on infogalactic.com.
"""

import re

LOWEST_KEY, HIGHEST_KEY = -8, 99  # C0 and B8: the widest keyboards that have been made stay inside
SMALLEST_COUNT = 25

_SHARP_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
_MIDI_OF_KEY_ZERO = 20
_KEY_OF_A4 = 49
_MOST_DIGITS = 4  # of a typed key number
_COUNT_WORDS = (
    *("no", "one", "two", "three", "four", "five", "six"),
    *("seven", "eight", "nine", "ten", "eleven", "twelve"),
)

_NOTE = re.compile(r"([A-Ga-g])([#♯b♭]?)([0-8])")
_LIST_BREAK = re.compile(r"[,;]|\band\b")
_RANGE = re.compile(r"(\S+?)\s*(?:[-–]|\bto\b)\s*(\S+)")
_COLOUR = re.compile(r"(?:all\s+)?(?:the\s+)?(sharps?|blacks?|naturals?|whites?|keys)\b\s*(.*)|all")
_SECTION = re.compile(r"(?:all\s+)?(?:(?:of|in)\s+)?(?:the\s+)?(bass|tenor|treble)")
_SECTION_COLOUR = re.compile(r"(?:the\s+)?(bass|tenor|treble)\s+(sharps?|blacks?|naturals?|whites?)")

# Where the sections lie as long as nobody looks for the breaks: to B2, C3 to B4, from C5.
# Common practice, no source; the breaks of one instrument may lie some notes off.
SECTIONS = {
    "bass": range(LOWEST_KEY, 28),
    "tenor": range(28, 52),
    "treble": range(52, HIGHEST_KEY + 1),
}


def midi_number(key: int) -> int:
    """MIDI note number of a key, 1 -> 21; keys -8 to 99. Source: MIDI 1.0 (from memory)."""
    if not LOWEST_KEY <= key <= HIGHEST_KEY:
        raise ValueError(f"There is no key {key}: keys run from {LOWEST_KEY} (C0) to {HIGHEST_KEY} (B8).")
    return key + _MIDI_OF_KEY_ZERO


def frequency_hz(key: int, a4_hz: float = 440.0) -> float:
    """Equal-tempered pitch in Hz of keys -8 to 99 for a given A4 (ISO 16:1975 sets 440).

    Tuned pianos are stretched: do not fail a tuning against these figures at the ends of the compass.
    """
    if not a4_hz > 0:
        raise ValueError("The pitch of A4 has to be above 0 Hz.")
    return a4_hz * 2 ** ((midi_number(key) - midi_number(_KEY_OF_A4)) / 12)


def pitch_name(key: int) -> str:
    """Name of any key from -8 (C0) to 99 (B8), sharps written with "#"."""
    octave, step = divmod(midi_number(key), 12)
    return f"{_SHARP_NAMES[step]}{octave - 1}"


def note_name(key: int) -> str:
    """Name of one of the 88 keys: 1 -> "A0", 2 -> "A#0", 88 -> "C8"; ValueError outside 1..88."""
    if not 1 <= key <= 88:
        raise ValueError(f"There is no key {key} among the 88, A0 to C8.")
    return pitch_name(key)


def note_label(key: int) -> str:
    """The name for reading, with a real sharp sign: 41 -> "C♯4". Keys -8 to 99."""
    return pitch_name(key).replace("#", "♯")


def is_sharp(key: int) -> bool:
    return "#" in pitch_name(key)


def is_in_section(key: int, section: str) -> bool:
    """Whether a key lies in the "bass", "tenor" or "treble"; see `SECTIONS`."""
    return key in SECTIONS[section]


def top_key(first_key: int, key_count: int) -> int:
    return first_key + key_count - 1


def missing_from_88(first_key: int, key_count: int) -> tuple[int, ...]:
    """The keys of the modern 88 that this keyboard was made without, lowest first."""
    if key_count < 1:
        raise ValueError("A keyboard has at least one key.")
    last_key = top_key(first_key, key_count)
    return tuple(key for key in range(1, 89) if not first_key <= key <= last_key)


def compass_problem(first_key: int, key_count: int, top_note: str = "") -> str:
    """One sentence when first key, number of keys and (if given) the top note cannot be true; else ""."""
    from_to = f"{LOWEST_KEY} ({pitch_name(LOWEST_KEY)}) to {HIGHEST_KEY} ({pitch_name(HIGHEST_KEY)})"
    if not LOWEST_KEY <= first_key <= HIGHEST_KEY:
        return f"The first key has to be one of {from_to}; 1 is A0."
    if key_count < SMALLEST_COUNT:
        return f"A piano has at least {SMALLEST_COUNT} keys; {key_count} is too few."
    last_key = top_key(first_key, key_count)
    if last_key > HIGHEST_KEY:
        return f"{key_count} keys from {note_label(first_key)} would run past {note_label(HIGHEST_KEY)}."
    return _top_note_problem(first_key, last_key, top_note.strip()) if top_note.strip() else ""


def compass_sentence(first_key: int, key_count: int) -> str:
    """What the keyboard has and what it was made without, measured against the modern 88.

    "85 keys, A0 to A7; the top three notes were not made".
    """
    last_key = top_key(first_key, key_count)
    names = f"{key_count} keys, {note_label(first_key)} to {note_label(last_key)}"
    clauses = [_absent_clause(first_key, last_key), _extra_clause(first_key, last_key)]
    return "; ".join([names, *filter(None, clauses)])


def count_word(count: int) -> str:
    """One to twelve in words, larger numbers in figures."""
    return _COUNT_WORDS[count] if 0 <= count < len(_COUNT_WORDS) else str(count)


def key_of_note(name: str) -> int:
    """The key of a written note, "C4", "c♯4" or "D♭4" -> 40, 41, 41; ValueError when it is not one."""
    note = _NOTE.fullmatch(name.strip())
    if note is None:
        raise ValueError(f"“{name.strip():.20}” is not a note such as C4, F♯3 or B♭2.")
    letter, accidental, octave = note.groups()
    step = _SHARP_NAMES.index(letter.upper()) + {"": 0, "#": 1, "♯": 1}.get(accidental, -1)
    key = 12 * (int(octave) + 1) + step - _MIDI_OF_KEY_ZERO
    if key < LOWEST_KEY:
        raise ValueError(f"“{name.strip()}” lies below {pitch_name(LOWEST_KEY)}.")
    return key


def parse_keys(text: str, first_key: int, key_count: int) -> tuple[int, ...]:
    """The keys a person typed, "1-12, C4, all sharps, bass", lowest first, each once.

    Bare numbers count from this instrument's own lowest key, as they are stamped on the keys; where that is
    A0 they are the 88-key numbers. Notes are named as they sound. ValueError says which part was not read.
    """
    found: set[int] = set()
    for part in filter(None, (part.strip() for part in _LIST_BREAK.split(text.casefold()))):
        found.update(_keys_of_part(part, first_key, key_count))
    return tuple(sorted(found))


def _keys_of_part(part: str, first_key: int, key_count: int) -> list[int]:
    if section := _SECTION_COLOUR.fullmatch(part):
        part = f"{section[2]} {section[1]}"
    if colour := _COLOUR.fullmatch(part):
        keys = _keys_of_range(colour[2], first_key, key_count) if colour[2] else _all(first_key, key_count)
        kind = (colour[1] or "keys")[0]
        return [key for key in keys if kind == "k" or is_sharp(key) == (kind in "sb")]
    return _keys_of_range(part, first_key, key_count)


def _keys_of_range(part: str, first_key: int, key_count: int) -> list[int]:
    if section := _SECTION.fullmatch(part):
        return _keys_of_section(section[1], first_key, key_count)
    ends, words = _RANGE.fullmatch(part), part.split()
    if ends is None and len(words) > 1:
        return [key for word in words for key in _keys_of_range(word, first_key, key_count)]
    low, high = ends.groups() if ends else (part, part)
    low_key, high_key = (_key_of_word(word, first_key, key_count) for word in (low, high))
    if low_key > high_key:
        raise ValueError(f"“{part}” runs backwards: give the lower key first.")
    return list(range(low_key, high_key + 1))


def _keys_of_section(name: str, first_key: int, key_count: int) -> list[int]:
    keys = [key for key in _all(first_key, key_count) if key in SECTIONS[name]]
    if not keys:
        raise ValueError(f"There is no {name} on this keyboard.")
    return keys


def _key_of_word(word: str, first_key: int, key_count: int) -> int:
    if word.isascii() and word.isdigit() and len(word) <= _MOST_DIGITS:
        key, called = first_key + int(word) - 1, f"key {int(word)}"
    elif _NOTE.fullmatch(word):
        key, called = key_of_note(word), word.capitalize()
    else:
        raise ValueError(f"“{word:.30}” is not a key: write a number, a note such as C4, or “all sharps”.")
    if key not in _all(first_key, key_count):
        ends = f"{note_label(first_key)} to {note_label(top_key(first_key, key_count))}"
        raise ValueError(f"There is no {called} on this keyboard: it has keys 1 to {key_count}, {ends}.")
    return key


def _all(first_key: int, key_count: int) -> range:
    return range(first_key, first_key + key_count)


def _top_note_problem(first_key: int, last_key: int, top_note: str) -> str:
    try:
        named_key = key_of_note(top_note)
    except ValueError as reason:
        return str(reason)
    if named_key == last_key:
        return ""
    counted = f"{last_key - first_key + 1} keys from {note_label(first_key)} end on {note_label(last_key)}"
    return f"{counted}, not on {top_note}: check the number of keys or the top note."


def _absent_clause(first_key: int, last_key: int) -> str:
    below, above = max(0, first_key - 1), max(0, 88 - last_key)
    ends = [f"the {end} {count_word(count)}" for end, count in (("lowest", below), ("top", above)) if count]
    if not ends:
        return ""
    if below + above == 1:
        return f"{ends[0].removesuffix(' one')} note was not made"
    return f"{' and '.join(ends)} notes were not made"


def _extra_clause(first_key: int, last_key: int) -> str:
    below, above = max(0, 1 - first_key), max(0, last_key - 88)
    ends = [f"{count_word(count)} below A0" for count in [below] if count]
    ends += [f"{count_word(count)} above C8" for count in [above] if count]
    return f"{' and '.join(ends)}, more than the usual 88" if ends else ""
