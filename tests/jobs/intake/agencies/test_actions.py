import pytest

from jobs.intake.agencies import actions
from jobs.intake.errors import IntakeError
from jobs.models import Agency, AuditEvent
from tests.factories import make_agency


def test_add_agency_whose_name_was_taken_meanwhile_says_so(manager):
    """Two people add the same one; both forms were right when they were checked."""
    make_agency(name="Bay")
    with pytest.raises(IntakeError, match="There is an agency Bay already"):
        actions.add_agency(values={"name": "Bay"}, by=manager)
    assert not AuditEvent.objects.exists()


def test_change_agency_to_a_name_taken_meanwhile_leaves_everything(manager):
    make_agency(name="Bay")
    agency = make_agency(name="Cove")
    with pytest.raises(IntakeError, match="Bay already"):
        actions.change_agency(
            agency=agency, version=0, values={"name": "Bay", "place": "North"}, by=manager
        )
    assert Agency.objects.get(pk=agency.pk).place == ""


def test_changing_nothing_is_not_worth_a_line_of_history(manager):
    agency = make_agency(name="Bay")
    actions.change_agency(agency=agency, version=0, values={"name": "Bay"}, by=manager)
    assert not AuditEvent.objects.exists()
