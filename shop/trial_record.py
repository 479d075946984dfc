"""What a home trial leaves in the record beside its own history."""

from shop.models import (
    AccessSurvey,
    HomeClimate,
    MoverBooking,
    TrialCollection,
    TrialDelivery,
    TrialExtension,
)
from shop.written_kinds import Kind, sentence


def _extension(row: TrialExtension, user) -> str:
    return sentence(f"Home trial {row}", row.why)


def _step(row, user) -> str:
    return sentence(f"{row.trial.number}: {row}", row.note)


TRIAL_KINDS = (
    Kind(TrialExtension, _extension, path="trial__instrument", right="shop.see_people"),
    *(
        Kind(model, _step, path="trial__instrument", right="shop.see_people", beside=("trial", *beside))
        for model, *beside in (
            (AccessSurvey,),
            (MoverBooking,),
            (TrialDelivery,),
            (HomeClimate, "reading"),
            (TrialCollection,),
        )
    ),
)
