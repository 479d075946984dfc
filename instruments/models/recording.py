from django.conf import settings
from django.db import models
from django.db.models import F, Q

from instruments.calc.compass import note_label
from instruments.calc.exact import plain
from instruments.models.instrument import Instrument
from instruments.models.saving import KeptHistory
from instruments.sound_states import Register, Speech

CURVE_STEP_S = 0.05  # between the levels of a note's curve


class PutAwayQuerySet(models.QuerySet):
    def kept(self):
        return self.filter(removed_at__isnull=True)

    def public(self):
        return self.kept().filter(is_public=True)


class Recording(models.Model):
    """A sound of an instrument: the file as it came, and a copy without hidden data for every browser."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="recordings")
    register = models.CharField("what is played", max_length=12, choices=Register)
    low_key = models.SmallIntegerField("first note", null=True, blank=True, help_text="1 is A0, 88 is C8")
    high_key = models.SmallIntegerField("last note", null=True, blank=True)
    recorded_on = models.DateField()
    temperature_c = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    humidity_percent = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    tuned_days = models.PositiveSmallIntegerField("days since it was tuned", null=True, blank=True)
    device = models.CharField("recorded with", max_length=80, blank=True)
    distance_cm = models.PositiveSmallIntegerField("distance", null=True, blank=True)
    remark = models.CharField(max_length=300, blank=True)
    sound_words = models.CharField(
        "how it sounds, in words", max_length=300, blank=True, default="", db_default=""
    )
    is_public = models.BooleanField("may be heard by the public", default=False)
    removed_at = models.DateTimeField(null=True, blank=True)
    replaces = models.OneToOneField(
        "self", null=True, blank=True, on_delete=models.PROTECT, related_name="replaced_by"
    )
    original = models.FileField(max_length=200)
    original_name = models.CharField(max_length=200, blank=True)
    media_type = models.CharField(max_length=40)
    sha256 = models.CharField(max_length=64)
    byte_count = models.PositiveBigIntegerField()
    copy = models.FileField("playable copy", max_length=200)
    copy_type = models.CharField(max_length=40)
    duration_ms = models.PositiveIntegerField("length")
    starts_ms = models.PositiveIntegerField("first sound at")
    loudness_lufs = models.DecimalField("loudness", max_digits=5, decimal_places=2)
    waveform = models.JSONField(
        default=list, editable=False
    )  # the loudest of each of so many stretches, 0..100
    unheard = models.CharField("why its notes were not measured", max_length=300, blank=True)
    uploaded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    uploaded_at = models.DateTimeField(auto_now_add=True)

    history = KeptHistory(
        excluded_fields=["waveform"], history_change_reason_field=models.TextField(null=True)
    )
    objects = PutAwayQuerySet.as_manager()

    class Meta:
        ordering = ["-recorded_on", "-id"]
        constraints = [
            models.UniqueConstraint(fields=["instrument", "sha256"], name="recording_once_per_instrument"),
            models.CheckConstraint(
                condition=Q(low_key__isnull=True, high_key__isnull=True) | Q(high_key__gte=F("low_key")),
                name="recording_notes_in_order",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_register_display()}{f', {self.notes_words}' if self.notes_words else ''}"

    @property
    def keys(self) -> tuple[int, ...]:
        return () if self.low_key is None else tuple(range(self.low_key, self.high_key + 1))

    @property
    def notes_words(self) -> str:
        if self.low_key is None:
            return ""
        low, high = note_label(self.low_key), note_label(self.high_key)
        return low if low == high else f"{low} to {high}"

    @property
    def length_words(self) -> str:
        minutes, seconds = divmod(round(self.duration_ms / 1000), 60)
        return f"{minutes} min {seconds:02d} s" if minutes else f"{max(seconds, 1)} s"

    @property
    def in_words(self) -> str:
        """For who cannot hear it: how it sounds, as somebody put it, or else that nobody has."""
        return self.sound_words or f"{self.length_words} long. Nobody has put into words yet how it sounds."

    @property
    def loudness_words(self) -> str:
        return f"{self.loudness_lufs:.1f} LUFS".replace("-", "−")

    @property
    def circumstances(self) -> str:
        """ "48 % RH, 19 °C, 12 days after tuning, the shop’s telephone at 150 cm", as far as it is known."""
        said = []
        if self.temperature_c is not None:
            said.append(f"{plain(self.temperature_c)} °C".replace("-", "−"))
        if self.humidity_percent is not None:
            said.append(f"{plain(self.humidity_percent)} % RH")
        if self.tuned_days is not None:
            days = (
                "the day" if not self.tuned_days else f"{self.tuned_days} day{'s' * (self.tuned_days != 1)}"
            )
            said.append(f"{days} {'after' if self.tuned_days else 'of'} tuning")
        how = self.device
        if self.distance_cm is not None:
            how = f"{how or 'recorded'} at {self.distance_cm} cm"
        return ", ".join([*said, how] if how else said)

    @property
    def same_way(self) -> tuple:
        """What has to be alike before two recordings may be held against each other."""
        return (self.device.casefold(), self.distance_cm)


class HeardNote(models.Model):
    """What one note of a recording measures; from the file, and anew when its notes are corrected."""

    recording = models.ForeignKey(Recording, on_delete=models.CASCADE, related_name="heard")
    key = models.SmallIntegerField()
    f1_hz = models.DecimalField(max_digits=9, decimal_places=4)
    inharmonicity = models.DecimalField(max_digits=9, decimal_places=8, null=True)
    level_db = models.DecimalField(max_digits=5, decimal_places=2)
    centre = models.DecimalField(max_digits=6, decimal_places=3)
    early_db_s = models.DecimalField(max_digits=7, decimal_places=2, null=True)
    late_db_s = models.DecimalField(max_digits=7, decimal_places=2, null=True)
    turn_s = models.DecimalField(max_digits=5, decimal_places=2, null=True)
    partials = models.JSONField(default=list)  # number, Hz, dB below the loudest
    curve = models.JSONField(default=list)  # dB of full scale, CURVE_STEP_S apart from the strike

    class Meta:
        ordering = ["key"]
        constraints = [
            models.UniqueConstraint(fields=["recording", "key"], name="heard_once_per_key_and_recording")
        ]

    def __str__(self) -> str:
        return note_label(self.key)


class Breaks(models.Model):
    """Where the compass of one instrument goes from bridge to bridge: the last note below each break."""

    instrument = models.OneToOneField(Instrument, on_delete=models.PROTECT, related_name="breaks")
    bass = models.SmallIntegerField("last note below the bass break", null=True, blank=True)
    treble = models.SmallIntegerField("last note below the treble break", null=True, blank=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))

    class Meta:
        verbose_name_plural = "breaks"
        constraints = [
            models.CheckConstraint(
                condition=Q(bass__isnull=True) | Q(treble__isnull=True) | Q(treble__gt=F("bass")),
                name="breaks_in_order",
            )
        ]

    def __str__(self) -> str:
        said = [
            f"{name} break above {note_label(key)}"
            for name, key in (("bass", self.bass), ("treble", self.treble))
            if key is not None
        ]
        words = ", ".join(said) or "no break"
        return words[:1].upper() + words[1:]


class Film(models.Model):
    """A film the shop made, kept elsewhere: a plain link."""

    instrument = models.ForeignKey(Instrument, on_delete=models.PROTECT, related_name="films")
    title = models.CharField("what it shows", max_length=120)
    url = models.URLField("its address", max_length=300)
    told = models.TextField("what is seen and heard in it", blank=True, default="", db_default="")
    speech = models.CharField(
        "is anything said in it", max_length=10, choices=Speech, blank=True, db_default=""
    )
    is_public = models.BooleanField("may be seen by the public", default=False)
    removed_at = models.DateTimeField(null=True, blank=True)
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    added_at = models.DateTimeField(auto_now_add=True)

    history = KeptHistory(history_change_reason_field=models.TextField(null=True))
    objects = PutAwayQuerySet.as_manager()

    class Meta:
        ordering = ["-id"]

    def __str__(self) -> str:
        return self.title
