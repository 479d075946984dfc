"""What the file on protected materials says, in labels and values: for its page and for its paper."""

from instruments.calc import edtf
from instruments.calc.exact import plain
from instruments.documents.content import Fact
from instruments.states import CaseWood
from shop.calc.ivory import IVORY_G_CM3, LARGEST_SHARE
from shop.documents.protected_sheet import ActLine
from shop.protected import Amount, ProtectedFile

UNSAID = "not looked at"


def found_facts(file: ProtectedFile) -> list[Fact]:
    """What was found, how, and how it is dated; what nobody looked at is said."""
    instrument, found = file.instrument, file.clearance
    keys = [
        Fact("Naturals", instrument.get_natural_covering_display(), "by its identity"),
        Fact("Sharps", instrument.get_sharp_covering_display(), "by its identity"),
    ]
    case = Fact("Case", instrument.get_case_wood_display() or "not recorded", "by its identity")
    if found is None:
        return [*keys, case, _made(file)]
    return [
        Fact("Found", found.found, f"{found.how}; {found.recorded_at:%-d %B %Y}"),
        *keys,
        Fact("Seam", found.get_seam_display() or UNSAID),
        Fact("Grain", found.get_grain_display() or UNSAID),
        *_where_said("Ivory of the keys", found.get_key_ivory_display()),
        *_where_said("Ivory elsewhere", found.get_inlay_ivory_display()),
        case,
        *_where_said("Rosewood", found.get_rosewood_display() or _open_rosewood(file)),
        *_where_said("Other woods and inlay", found.other_found),
        _made(file),
        *_where_said(
            "Ivory added later, taken", edtf.describe(found.added_taken) if found.added_taken else ""
        ),
        *_where_said("Note", found.note),
    ]


def _where_said(label: str, words: str) -> list[Fact]:
    return [Fact(label, words)] if words else []


def _open_rosewood(file: ProtectedFile) -> str:
    return "species not settled" if file.instrument.case_wood == CaseWood.ROSEWOOD else ""


def _made(file: ProtectedFile) -> Fact:
    instrument, found = file.instrument, file.clearance
    if found is None or not found.made:
        basis = instrument.made_basis_words if instrument.made else ""
        return Fact("Made", instrument.made_words, basis)
    named = [found.dating_evidence, found.dating_document.title if found.dating_document else ""]
    documented = "documented" if found.is_documented else "not documented"
    return Fact("Made", edtf.describe(found.made), "; ".join(filter(None, [documented, *named])))


def paper_facts(file: ProtectedFile) -> list[Fact]:
    """The paper that lets us deal in it, and whether it stands; nothing where there is none."""
    paper = file.clearance
    if paper is None or not (paper.reference or paper.certificate or paper.permit):
        return []
    ended = file.ended("offering")
    state = f"It {ended}" if ended else "stands"
    return [
        *_where_said(paper.get_paper_display() or "Reference", paper.reference),
        *_where_said("Issued", f"{paper.issued_on:%-d %B %Y}" if paper.issued_on else ""),
        *_where_said("In whose name", paper.get_in_name_of_display()),
        *_where_said("Certificate for 1947 to 1974", paper.certificate),
        *_where_said("Permit for export", paper.permit),
        *(_where_said("State", state) if paper.reference else []),
    ]


def act_lines(file: ProtectedFile) -> list[ActLine]:
    """Act by act: blocked, with care or free, and the sentence that says why, with its source."""
    lines = []
    for act, verdict in file.verdicts:
        read = f"{verdict.source}; as read in {edtf.describe(verdict.read_as_of)}" if verdict.source else ""
        lines.append(ActLine(act, verdict.level, verdict.word, verdict.sentence, read))
    return lines


def amount_facts(file: ProtectedFile) -> list[Fact]:
    """The ivory of the keys in figures, each with its formula; nothing where it was not measured."""
    amount = file.amount
    if amount is None:
        return []
    paper = file.clearance
    head = f"{plain(paper.head_length_mm)} × {plain(paper.head_width_mm)}"
    tail = f"{plain(paper.tail_length_mm)} × {plain(paper.tail_width_mm)}"
    formula = f"{paper.pieces} × ({head} + {tail}) × {plain(paper.thickness_mm)} mm³"
    return [
        Fact("Volume of the coverings", f"about {amount.volume_cm3:.1f} cm³", formula),
        Fact("Mass", f"about {amount.mass_g:.1f} g", f"{IVORY_G_CM3} g to the cm³, our own reckoning"),
        *_share(amount),
    ]


def _share(amount: Amount) -> list[Fact]:
    if amount.share_percent is None:
        return [Fact("Share by volume", "not known", "the instrument’s weight or measures are not recorded")]
    whole = f"{amount.whole_cm3 / 1000:.0f} litres, {amount.whole_is}"
    return [
        Fact("Material of the instrument", f"roughly {whole}", "rough, our own reckoning"),
        Fact(
            "Share by volume",
            f"about {amount.share_percent:.2f} %",
            f"coverings ÷ instrument; the UK limit is less than {LARGEST_SHARE * 100:.0f} %",
        ),
    ]
