import pytest

from instruments.problems import Blocked
from tests import make
from workorders.actions.items import close_item, describe_item

pytestmark = pytest.mark.django_db
SAID = {"keys": "", "note": "", "usual_minutes": 60}


def test_only_the_owner_changes_whether_work_is_required(technician, owner):
    item = make.make_item()
    with pytest.raises(Blocked, match="Only the owner may change whether it is required"):
        describe_item(item=item, is_required=False, by=technician, **SAID)
    assert not describe_item(item=item, is_required=False, by=owner, **SAID).is_required


def test_a_closed_item_is_described_by_what_was_done(technician):
    item = make.make_item()
    close_item(item=item, by=technician, on=make.A_DAY, result="Done.")
    with pytest.raises(Blocked, match="Tobias Lind closed"):
        describe_item(item=item, by=technician, **SAID)
