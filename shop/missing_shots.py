"""Which photographs a buyer would look for and not find in a listing."""

from dataclasses import dataclass

from django.urls import reverse

from instruments.models import Instrument
from instruments.states import MadeBasis, Shot
from workorders.summary import work_done_on

# Asked for only where there is something to show.
ON_OCCASION = {Shot.DAMAGE, Shot.AFTER_WORK, Shot.DATE_MARK, Shot.OTHER}


@dataclass(frozen=True)
class MissingShot:
    """A kind of photograph that no public one shows; `is_kept` where one is there that only we see."""

    shot: Shot
    link: str
    is_kept: bool = False

    @property
    def words(self) -> str:
        return self.shot.label


def missing_shots(instrument: Instrument) -> list[MissingShot]:
    """In the order of the list of shots, which a walk round the instrument follows."""
    photos = [photo for photo in instrument.photos.all() if not photo.removed_at]
    shown = {photo.shot for photo in photos if photo.is_public}
    kept = {photo.shot: photo.pk for photo in reversed(photos) if not photo.is_public}
    due = set(Shot) - ON_OCCASION | _on_occasion(instrument)
    page = reverse("instruments:photos", args=[instrument.stock_number])
    return [
        MissingShot(
            shot, f"{page}#photo-{kept[shot]}" if shot in kept else f"{page}?shot={shot}", shot in kept
        )
        for shot in Shot
        if shot in due and shot not in shown
    ]


def _on_occasion(instrument: Instrument) -> set[Shot]:
    occasions = {
        Shot.DAMAGE: any(each.is_fault for each in instrument.findings.current().public()),
        Shot.DATE_MARK: instrument.made_basis == MadeBasis.MARK,
        Shot.AFTER_WORK: bool(work_done_on(instrument)),
    }
    return {shot for shot, is_due in occasions.items() if is_due}
