from django import forms

from instruments.forms.documents import ScanField
from instruments.forms.fields import HalfKnownDateField, NumberField, PastDayField
from instruments.states import Covering, WhoMaySee
from shop.models import Clearance
from shop.models.clearance import PIECES

GROUPS = (
    (
        "What was found, and how",
        (
            "found",
            "how",
            "seam",
            "grain",
            "no_protected_material",
            "key_ivory",
            "inlay_ivory",
            "rosewood",
            "other_found",
        ),
    ),
    ("What dates it", ("made", "added_taken", "is_documented", "dating_evidence", "dating_document")),
    (
        "The paper that lets us deal in it",
        (
            "paper",
            "reference",
            "issued_on",
            "in_name_of",
            "certificate",
            "permit",
            "scan",
            "new_scan",
            "scan_is_private",
        ),
    ),
    ("How much ivory there is", ("pieces", *PIECES)),
    ("Anything else", ("note",)),
)
MEASURES = ("pieces", *PIECES)


class MaybeScanField(ScanField):
    def clean(self, data, initial=None):
        return super().clean(data, initial) if data else None


class ClearanceForm(forms.ModelForm):
    new_scan = MaybeScanField(
        label="Or add its scan now",
        required=False,
        help_text="PDF or picture, up to 30 MB. Kept byte for byte.",
    )
    scan_is_private = forms.BooleanField(label="Only for those who may see private papers", required=False)
    issued_on = PastDayField(label="Issued on", required=False)

    class Meta:
        model = Clearance
        fields = [
            name for _, names in GROUPS for name in names if name not in {"new_scan", "scan_is_private"}
        ]
        field_classes = {
            "made": HalfKnownDateField,
            "added_taken": HalfKnownDateField,
            **dict.fromkeys(PIECES, NumberField),
        }
        help_texts = {
            "found": "For example: two-piece heads with a visible join, grain under raking light.",
            "how": "Never with a hot needle: it damages, and celluloid burns fiercely.",
            "seam": "A seam is typical of ivory; thick ivory in one piece exists, so none is no proof.",
            "key_ivory": "Left open, it counts as elephant.",
            "rosewood": "Left open, a case of rosewood counts as Brazilian at a border.",
            "made": "Left open, the date in its identity counts.",
            "added_taken": "Only where a repair added ivory: when that ivory was taken.",
            "in_name_of": "A registration ends with each change of owner.",
            "certificate": "Ivory keyboards made between 3 March 1947 and 1974.",
            "pieces": "How many naturals wear it. All the measures, or none.",
            "thickness_mm": "Of head and tail alike.",
        }

    def __init__(self, *args, instrument, user, **options):
        super().__init__(*args, **options)
        self.instrument = instrument
        papers = instrument.documents.open_to(user)
        for name in ("scan", "dating_document"):
            self.fields[name].queryset = papers
            self.fields[name].empty_label = "None on file"
        for name in PIECES:
            self.fields[name].unit = "mm"
        if not user.has_perm("instruments.see_private_documents"):
            del self.fields["scan_is_private"]

    @property
    def groups(self):
        """Legend and fields, as the page sets them out."""
        return [(legend, [self[name] for name in names if name in self.fields]) for legend, names in GROUPS]

    def clean(self):
        cleaned = super().clean()
        self._look_at_what_is_found(cleaned)
        self._look_at_the_paper(cleaned)
        given = [name for name in MEASURES if cleaned.get(name) is not None]
        missing = [name for name in MEASURES if name not in given and name not in self.errors]
        if given and missing:
            self.add_error(missing[0], "Give all the measures of the coverings, or none.")
        if cleaned.get("is_documented") and not (
            cleaned.get("dating_evidence") or cleaned.get("dating_document")
        ):
            self.add_error("dating_evidence", "Say which document, or choose it.")
        return cleaned

    def _look_at_what_is_found(self, cleaned: dict) -> None:
        is_ivory = Covering.IVORY in self.instrument.coverings
        if cleaned.get("no_protected_material"):
            if is_ivory:
                self.add_error(
                    "no_protected_material",
                    "Its keys are recorded as covered with ivory. Correct the identity first, if that is "
                    "wrong.",
                )
            for name in ("key_ivory", "inlay_ivory"):
                if cleaned.get(name):
                    self.add_error(name, "There is said to be none in it.")
        elif cleaned.get("key_ivory") and not is_ivory:
            self.add_error(
                "key_ivory", "By its identity no key is covered with ivory. Correct the identity first."
            )

    def _look_at_the_paper(self, cleaned: dict) -> None:
        if cleaned.get("no_protected_material") and cleaned.get("reference"):
            self.add_error("reference", "Where there is none in it, there is no reference to give.")
        if cleaned.get("reference"):
            for name, asked in (
                ("paper", "Say what kind of paper it is."),
                ("issued_on", "Give the day on it: whether it still stands depends on it."),
                ("in_name_of", "Say in whose name it is: it ends with the owner."),
            ):
                if not cleaned.get(name) and name not in self.errors:
                    self.add_error(name, asked)
        elif cleaned.get("paper") and "reference" not in self.errors:
            self.add_error("reference", "Give its reference.")

    def found(self) -> dict:
        """What `record_clearance` takes, without the scan that came along."""
        return {name: self.cleaned_data[name] for name in self.Meta.fields}

    @property
    def scan_seen_by(self) -> str:
        return WhoMaySee.OWNER if self.cleaned_data.get("scan_is_private") else WhoMaySee.STAFF
