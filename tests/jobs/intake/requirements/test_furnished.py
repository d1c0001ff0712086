from datetime import date

import pytest

from jobs.intake.errors import IntakeError
from jobs.intake.requirements import furnished
from jobs.models import AuditEvent
from tests.factories import make_furnished_item

ARRIVED = {
    "arrived_on": date(2026, 5, 4),
    "received_by": "Dag Lorne",
    "serial": "RT-1",
    "condition": "New in box",
    "cables_included": False,
}


def test_an_item_is_received_once(manager):
    item = make_furnished_item(description="Router")
    furnished.receive_item(item=item, values=ARRIVED, by=manager)
    assert item.is_here
    with pytest.raises(IntakeError, match="was received on 4 May 2026 already, by Dag Lorne"):
        furnished.receive_item(item=item, values=ARRIVED, by=manager)
    sentence = AuditEvent.objects.get().sentence
    assert sentence == "Received Router, serial RT-1, without cables: New in box"


def test_an_item_given_up_may_still_arrive_but_not_the_other_way_round(manager):
    item = make_furnished_item()
    furnished.waive_item(item=item, reason="They buy none", by=manager)
    assert item.is_here
    furnished.receive_item(item=item, values=ARRIVED, by=manager)
    assert item.waived_reason == ""
    with pytest.raises(IntakeError, match="received or given up already"):
        furnished.waive_item(item=item, reason="Again", by=manager)


def test_several_of_one_kind_are_told_with_their_number(manager):
    item = make_furnished_item(description="Charger", quantity=4)
    furnished.waive_item(item=item, reason="Later", by=manager)
    assert AuditEvent.objects.get().sentence == "Goes on without 4 x Charger: Later"
