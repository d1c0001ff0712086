from io import StringIO

import pytest
from django.core.management import CommandError, call_command

from inspections.demo.main_job import run
from inspections.models import Acceptance, Packet
from jobs.models import Circuit, Document

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.slow]


def test_demo_job_ends_with_a_packet_that_the_customer_accepted(append_only):
    out = StringIO()
    call_command("demo_job", stdout=out)
    words = out.getvalue()
    assert "B $78,161.51" in words
    assert "CO-01 +$195.13" in words
    assert "logic 1.2: 60 proved, 2 not" in words
    assert "accepted with open items by Edda Quill" in words
    assert Acceptance.objects.get().answer == "punch"
    assert Packet.objects.get().document.state == Document.State.DONE
    # Again: the accepted packet stays the one.
    call_command("demo_job", stdout=StringIO())
    assert Packet.objects.count() == 1
    # A design that is not the demo's any more is noticed.
    Circuit.objects.filter(job__number="KS-1042", ref="A-01").update(awg="18")
    assert not all(line.ok for line in run())
    with pytest.raises(CommandError, match="not as expected"):
        call_command("demo_job", stdout=StringIO())
