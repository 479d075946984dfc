"""The walk-round, station by station: only what is touched is saved, and nobody's word is replaced unseen."""

import re
from collections.abc import Iterator

from django import forms

from instruments.calc.condition.comparing import Value
from instruments.forms.fields import KeysField, NumberField
from instruments.forms.photos import ACCEPTED, ReceivedPhotos
from instruments.library import condition_measures, condition_signs
from instruments.models import Finding
from instruments.photos import LARGEST_BYTES, prepare_photos
from instruments.states import PARTS_AT, PARTS_WITH_KEYS, Condition, Part, Station
from instruments.walks import Walk

WORDS = {"autocomplete": "off"}
KEY = re.compile("[0-9]{1,18}")


class PartPhotoField(forms.FileField):
    """One picture straight from the camera. What comes out is a `ReceivedPhotos` with one photo or none."""

    widget = forms.FileInput(
        attrs={"accept": ACCEPTED, "capture": "environment", "data-max-bytes": LARGEST_BYTES}
    )

    def clean(self, data, initial=None) -> ReceivedPhotos:
        if not data:
            return ReceivedPhotos()
        prepared, refused = prepare_photos([data])
        if refused:
            raise forms.ValidationError(refused, code="refused")
        return ReceivedPhotos(prepared)


class PartForm(forms.Form):
    """One part of the walk, filled with what this report says of it already."""

    condition = forms.ChoiceField(
        label="Condition", required=False, choices=Condition.choices, widget=forms.RadioSelect
    )
    note = forms.CharField(label="Note", required=False, max_length=500, widget=forms.TextInput(attrs=WORDS))
    keys = KeysField(
        help_text="", widget=forms.TextInput(attrs=WORDS | {"placeholder": "12, 40-45, all sharps"})
    )
    signs = forms.MultipleChoiceField(
        label="What may end a purchase", required=False, widget=forms.CheckboxSelectMultiple
    )
    photo = PartPhotoField(label="Photograph", required=False)
    # The finding this form was made from: somebody else may have written a newer one meanwhile.
    was = forms.CharField(required=False, max_length=20, widget=forms.HiddenInput)

    def __init__(self, sent, files, *, part: Part, walk: Walk, last: Finding | None, user, is_sound: bool):
        self.part, self.instrument, self.user = part, walk.report.instrument, user
        self.line, self.last, self.waiting, self.is_next = walk.lines.get(part), last, None, False
        self.made_from = self._made_from(sent, walk)
        initial = _initial(self.made_from) | {"was": _key_of(self.made_from)}
        super().__init__(sent, files, prefix=part.value, initial=initial)
        self.measures = [measure for measure in condition_measures() if measure.part == part]
        for measure in self.measures:
            self.fields[measure.code] = _measure_field(measure)
        self.fields["keys"].instrument = self.instrument
        signs = [(sign.code, sign.words) for sign in condition_signs() if sign.part == part]
        self.fields["signs"].choices = signs
        for name, is_wanted in (("keys", part in PARTS_WITH_KEYS), ("signs", bool(signs))):
            if not is_wanted:
                del self.fields[name]
        if is_sound and self.is_open_to_all and not self._typed("condition"):
            self._retype("condition", Condition.SOUND)

    def _made_from(self, sent, walk: Walk) -> Finding | None:
        """The finding that the sender had before their eyes; shown first, it is what stands now."""
        if sent is None:
            return self.line
        was = sent.get(f"{self.part.value}-was", "")
        finding = walk.findings_by_key.get(int(was)) if KEY.fullmatch(was) else None
        return finding if finding and finding.part == self.part else None

    def _retype(self, name: str, value: str) -> None:
        self.data = self.data.copy()
        self.data[self.add_prefix(name)] = value

    def _typed(self, name: str) -> str:
        return self.data.get(self.add_prefix(name), "")

    @property
    def was_fault(self) -> bool:
        """Whether the last word on file, from before this report, is a fault."""
        return self.last is not None and self.last.is_fault

    @property
    def is_open_to_all(self) -> bool:
        """Whether it is sound with all of its group; a fault on file wants a judgement of its own."""
        return self.line is None and not self.was_fault

    @property
    def has_keys(self) -> bool:
        """Templates cannot ask: the fields are a dict, and `keys` is a method of it."""
        return "keys" in self.fields

    @property
    def measure_fields(self) -> list[tuple]:
        return [(measure, self[measure.code]) for measure in self.measures]

    def clean(self) -> dict:
        cleaned = super().clean()
        if not self.is_touched:
            return cleaned
        if self._is_overtaken:
            self._retype("was", _key_of(self.line))
            self.add_error(
                None, f"{_name(self.line.found_by)} wrote this part meanwhile. Look, and save once more."
            )
        elif not cleaned.get("condition") and "condition" not in self.errors:
            self.add_error("condition", "Choose what you found as well.")
        elif cleaned.get("condition") in {Condition.SOUND, Condition.NOT_EXAMINED} and cleaned.get("signs"):
            self.add_error("signs", "What may end a purchase is not sound. Choose what you found.")
        return cleaned

    @property
    def _is_overtaken(self) -> bool:
        """Somebody else wrote this part since; one's own later word is simply the later one."""
        return self.line != self.made_from and self.line is not None and self.line.found_by != self.user

    @property
    def is_touched(self) -> bool:
        return any(name != "was" for name in self.changed_data)

    @property
    def received(self) -> ReceivedPhotos:
        return getattr(self, "cleaned_data", {}).get("photo") or ReceivedPhotos()

    def found(self) -> dict:
        """What `record_finding` takes of it, but for the photograph."""
        kept = {
            name: self.cleaned_data[name]
            for name in ("condition", "note", "keys", "signs")
            if name in self.fields
        }
        return kept | {"part": self.part, "values": list(self._values())}

    def _values(self) -> Iterator[Value]:
        for measure in self.measures:
            given = self.cleaned_data.get(measure.code)
            if given in (None, ""):
                continue
            if measure.answers:
                yield Value(measure.code, measure.name, answer=measure.words_of(given))
            else:
                yield Value(measure.code, measure.name, number=given, unit=measure.unit)


class StationForm:
    """The parts of one station, valid together; it answers like a form."""

    def __init__(self, sent, files, *, station: Station, walk: Walk, user):
        last = {each.part: each for each in walk.report.instrument.findings.current().with_values()}
        # Without script the button that says "all sound" sends the form; with it, it presses the choices.
        is_sound = sent is not None and "all_sound" in sent
        self.station = station
        self.parts = [
            PartForm(
                sent,
                files,
                part=part,
                walk=walk,
                last=None if part in walk.lines else last.get(part),
                user=user,
                is_sound=is_sound,
            )
            for part in PARTS_AT[station]
        ]
        self.errors_of_all: list[str] = []
        for form in self.parts:
            form.is_next = walk.next_at(station) == form.part

    @property
    def following(self) -> Station | None:
        """The station a body goes to next; None after the last."""
        stations = list(Station)
        return next(iter(stations[stations.index(self.station) + 1 :]), None)

    @property
    def is_left(self) -> bool:
        """Whether some part of the station can be called sound with all of its group."""
        return any(form.is_open_to_all for form in self.parts)

    @property
    def faults_before(self) -> str:
        """Which parts one press leaves open, such as "1 part was Attend before: look at it by itself"."""
        faults = [form.last.condition for form in self.parts if form.was_fault]
        if not faults:
            return ""
        grades = " or ".join(grade.label for grade in Condition if grade in faults)
        many = len(faults) > 1
        return (
            f"{len(faults)} part{'s were' if many else ' was'} {grades} before:"
            f" look at {'each' if many else 'it'} by itself."
        )

    def is_valid(self) -> bool:
        are_valid = [form.is_valid() for form in self.parts]
        if all(are_valid) and not self.touched:
            self.add_error(None, "Nothing was chosen yet. Press what you found of at least one part.")
        return all(are_valid) and not self.errors_of_all

    def add_error(self, field: str | None, sentences) -> None:
        self.errors_of_all += [sentences] if isinstance(sentences, str) else list(sentences)

    @property
    def touched(self) -> list[PartForm]:
        return [form for form in self.parts if form.is_touched]

    @property
    def wrong_parts(self) -> list[PartForm]:
        return [form for form in self.parts if form.is_bound and form.errors]

    @property
    def has_errors(self) -> bool:
        return bool(self.errors_of_all or self.wrong_parts)


def _measure_field(measure) -> forms.Field:
    if measure.answers:
        return forms.ChoiceField(
            label=measure.name.capitalize(), required=False, choices=[("", "Not tried"), *measure.answers]
        )
    bounds = f"Between {measure.least} and {measure.most} {measure.unit}."
    field = NumberField(
        label=measure.name[:1].upper() + measure.name[1:],
        required=False,
        max_digits=9,
        decimal_places=3,
        min_value=measure.least,
        max_value=measure.most,
        error_messages={"invalid": bounds, "min_value": bounds, "max_value": bounds},
    )
    field.unit = measure.unit
    return field


def _initial(line: Finding | None) -> dict:
    """What the report says of the part, as its form shows it."""
    if line is None:
        return {}
    codes = {measure.code: measure for measure in condition_measures()}
    values = {
        value.measure: value.number
        if value.number is not None
        else _code_of(codes.get(value.measure), value.answer)
        for value in line.values.all()
        if value.measure
    }
    return {"condition": line.condition, "note": line.note, "keys": line.keys, "signs": line.signs} | values


def _code_of(measure, words: str) -> str:
    return next((code for code, said in (measure.answers if measure else ()) if said == words), "")


def _key_of(finding: Finding | None) -> str:
    return str(finding.pk) if finding else ""


def _name(user) -> str:
    return user.get_full_name() or user.get_username()
