"""The pitch of one struck note and the inharmonicity of its strings, from the partials in a recording.

The partials of a stiff string lie at f_n = n f0 sqrt(1 + B n^2) (H. Fletcher, JASA 36 (1964) 203-209, from
memory). So (f_n / n)^2 is a straight line over n^2, whose foot is f0^2 and whose slope is f0^2 B: it is
fitted to the partials that stand out, each weighted by its strength, and what lies far off the line is left
out. The pitch given is that of the first partial on the line, which holds where that partial itself is
hardly there, as in the low bass.
"""

from dataclasses import dataclass

import numpy as np

from instruments.calc.tone.sounds import NotATone, as_sound, onset_of

# Above, the partials of covered strings leave the line: by 5 cents on a real A0.
HIGHEST_PARTIAL = 12
SEARCH_CENTS = 150
ATTACK_S = 0.06
LEAST_S = 0.12
QUIET_DB = -60.0
STANDS_OUT = 6.0
PARTIALS_FOR_STIFFNESS = 4
STIFFNESSES = (0.0, 1e-4, 4e-4, 1e-3)
WIDEST_CENTS, NARROW_CENTS, SHARE_OF_A_STEP = 60.0, 45.0, 600.0
STRAY_CENTS = 1.5


@dataclass(frozen=True)
class Partial:
    """`db` below the loudest partial of the note."""

    number: int
    hz: float
    db: float


@dataclass(frozen=True)
class Pitch:
    """`cents` from the frequency asked for; `inharmonicity` is B, None where too few partials stand out."""

    f1_hz: float
    cents: float
    inharmonicity: float | None
    partials: tuple[Partial, ...]


@dataclass(frozen=True)
class Spectrum:
    """Strength of each frequency, `step_hz` apart."""

    strength: np.ndarray
    step_hz: float

    def around(self, low_hz: float, high_hz: float) -> slice:
        return slice(max(2, int(low_hz / self.step_hz)), max(3, int(np.ceil(high_hz / self.step_hz)) + 1))

    def peak(self, hz: float, cents: float) -> tuple[float, float] | None:
        """Frequency and strength of the highest in that width, by a parabola through its logarithms."""
        ratio = 2 ** (cents / 1200)
        place = self.around(hz / ratio, hz * ratio)
        if place.stop + 1 >= len(self.strength):
            return None
        k = place.start + int(np.argmax(self.strength[place]))
        left, top, right = self.strength[k - 1 : k + 2]
        if top < left or top < right or top <= 0:
            return None
        a, b, c = np.log(np.maximum((left, top, right), top * 1e-12))
        bend = a - 2 * b + c
        return (k + (0.5 * (a - c) / bend if bend else 0.0)) * self.step_hz, float(top)


def pitch_of(sound, rate: int, expected_hz: float) -> Pitch:
    """Pitch of the note that was meant to sound at `expected_hz`, looked for within a semitone and a half.

    `sound` is one note, struck once, floats -1..1; `rate` in samples a second. NotATone where none stands
    out.
    """
    sound = as_sound(sound, rate)
    if not 15 < expected_hz < rate * 0.4:
        raise NotATone("This recording cannot hold a note of that pitch.")
    start = onset_of(sound, rate) + round(ATTACK_S * rate)
    piece = sound[start : start + round(rate * min(2.0, max(0.35, 24 / expected_hz)))]
    if len(piece) < LEAST_S * rate:
        raise NotATone("The note is too short. Record it until it has died away.")
    spectrum = _spectrum(piece, rate)
    return _fitted(spectrum, rate, _first_guess(spectrum, expected_hz), expected_hz)


def _spectrum(piece, rate) -> Spectrum:
    window = np.blackman(len(piece))
    length = 1 << int(np.ceil(np.log2(len(piece) * 4)))
    return Spectrum(np.abs(np.fft.rfft(piece * window, length)) / (window.sum() / 2), rate / length)


def _first_guess(spectrum: Spectrum, expected_hz: float) -> float:
    """The pitch around the expected one whose first partials are strongest together."""
    logs = np.log(spectrum.strength + spectrum.strength.max() * 1e-4)
    numbers = np.arange(1, 9)

    def together(hz: float, b: float) -> float:
        places = numbers * hz * np.sqrt((1 + b * numbers**2) / (1 + b)) / spectrum.step_hz
        return float(logs[places[places < len(logs) - 2].astype(int)].mean())

    steps = np.arange(-SEARCH_CENTS, SEARCH_CENTS + 1, 2.0)
    guesses = [(together(expected_hz * 2 ** (c / 1200), b), c) for c in steps for b in STIFFNESSES]
    return expected_hz * 2 ** (max(guesses)[1] / 1200)


def _fitted(spectrum: Spectrum, rate: int, first_hz: float, expected_hz: float) -> Pitch:
    loudest = float(spectrum.strength[spectrum.around(first_hz / 2, rate / 2)].max())
    rows = _without_strays(_partials(spectrum, rate, first_hz, loudest))
    if not rows:
        raise NotATone("No note stands out near the one that was asked for.")
    f0, b = _line(rows)
    f1 = f0 * np.sqrt(1 + b)
    return Pitch(
        f1_hz=float(f1),
        cents=float(1200 * np.log2(f1 / expected_hz)),
        inharmonicity=b if len(rows) >= PARTIALS_FOR_STIFFNESS else None,
        partials=tuple(Partial(n, hz, float(20 * np.log10(a / loudest))) for n, hz, a in rows),
    )


def _partials(
    spectrum: Spectrum, rate: int, first_hz: float, loudest: float
) -> list[tuple[int, float, float]]:
    """Partial by partial upward, each looked for where those before it say it is."""
    found: list[tuple[int, float, float]] = []
    f0, b = first_hz, 0.0
    for n in range(1, HIGHEST_PARTIAL + 1):
        hz = n * f0 * np.sqrt(1 + b * n * n)
        if hz > rate * 0.45:
            break
        peak = spectrum.peak(hz, min(WIDEST_CENTS if n < 3 else NARROW_CENTS, SHARE_OF_A_STEP / n))
        beside = np.median(spectrum.strength[spectrum.around(hz - f0 / 2, hz + f0 / 2)])
        if peak and peak[1] > max(loudest * 10 ** (QUIET_DB / 20), STANDS_OUT * beside):
            found.append((n, *peak))
            f0, b = _line(found) if len(found) > 1 else (peak[0] / n, 0.0)
    return found


def _line(rows) -> tuple[float, float]:
    """f0 in Hz and B. With one or two partials B is taken as nothing."""
    n, hz, strength = (np.array(column, dtype=float) for column in zip(*rows, strict=True))
    if len(n) > 2:
        weight = np.sqrt(strength / strength.max())  # a cent moves the line alike everywhere
        sides = np.stack([np.ones_like(n), n**2], axis=1)
        (foot, slope), *_ = np.linalg.lstsq(sides * weight[:, None], (hz / n) ** 2 * weight, rcond=None)
        if foot > 0 and slope >= 0:
            return float(np.sqrt(foot)), float(slope / foot)
    return float(np.average(hz / n, weights=strength)), 0.0


def _without_strays(rows):
    """Leave out, worst first, what lies further off the line than the others' own spread allows."""
    while len(rows) > PARTIALS_FOR_STIFFNESS:
        f0, b = _line(rows)
        off = [abs(1200 * np.log2(hz / (n * f0 * np.sqrt(1 + b * n * n)))) for n, hz, _ in rows]
        worst = int(np.argmax(off))
        if off[worst] <= max(STRAY_CENTS, 4.5 * float(np.median(off))):
            break
        rows = [row for place, row in enumerate(rows) if place != worst]
    return rows
