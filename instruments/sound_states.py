"""What a recording is of."""

from django.db.models import TextChoices


class Register(TextChoices):
    BASS = "bass", "Bass"
    TENOR = "tenor", "Tenor"
    TREBLE = "treble", "Treble"
    BASS_BREAK = "bass_break", "Across the bass break"
    TREBLE_BREAK = "treble_break", "Across the treble break"
    SOFT = "soft", "Played softly"
    LOUD = "loud", "Played loudly"
    PASSAGE = "passage", "A passage"


class Speech(TextChoices):
    """Whether somebody who hears nothing misses words of a film."""

    NONE = "none", "Nothing is said in it"
    CAPTIONED = "captioned", "What is said has captions"
    BARE = "bare", "What is said has no captions"


class ToneWord(TextChoices):
    """Words in use for a tone (common practice, no source); no scale stands behind them."""

    WARM = "warm", "Warm"
    BRIGHT = "bright", "Bright"
    CLEAR = "clear", "Clear"
    MELLOW = "mellow", "Mellow"
    FULL = "full", "Full"
    SINGING = "singing", "Singing"
    GENTLE = "gentle", "Gentle"
    DRY = "dry", "Dry"


BREAK_REGISTERS = {Register.BASS_BREAK, Register.TREBLE_BREAK}

HOW_TO_PLAY = {
    Register.BASS: "A low A or C, struck once and held until it has died away.",
    Register.TENOR: "A note around middle C, struck once and held until it has died away.",
    Register.TREBLE: "A high A or C, struck once and held until it has died away.",
    Register.BASS_BREAK: "Six notes below the break to six above, one by one, two seconds each.",
    Register.TREBLE_BREAK: "Six notes below the break to six above, one by one, two seconds each.",
    Register.SOFT: "The same few bars each time, as softly as it will speak.",
    Register.LOUD: "The same few bars, strongly.",
    Register.PASSAGE: "Half a minute of music, the same for every piano.",
}
