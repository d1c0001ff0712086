import pytest

from inspections.handover.contents import gather
from inspections.handover.drawings import single_line
from jobs.build_sheet.review import review
from jobs.documents.sections import make, section_of
from jobs.models import Circuit, OperatingMode
from tests.factories import make_job, make_unit, make_wired_job
from tests.papers import page_texts

pytestmark = pytest.mark.django_db


def sections(job):
    return single_line(job, review(job))


def test_single_line_is_one_section_for_the_supplies_and_one_a_feed():
    assert [one["key"] for one in sections(make_wired_job())] == ["single-line", "single-line-a"]


def test_single_line_of_an_empty_job_is_no_section():
    assert sections(make_job()) == []


def test_single_line_drawings_carry_words_and_their_own_style():
    drawing = sections(make_wired_job())[1]["data"]["drawings"][0]
    assert drawing["alt"].startswith("Single line of feed A: Warning. From Main battery")
    assert "<style>" in drawing["svg"] and "role=" not in drawing["svg"]


def test_gather_puts_the_single_line_between_schedules_and_legends(shop):
    unit = make_unit(job=make_wired_job(), number="SR-4")
    keys = [one["key"] for one in gather(unit, revision=1).sections]
    at = keys.index("schedule-a")
    assert keys[at : at + 4] == ["schedule-a", "single-line", "single-line-a", "legends"]


@pytest.mark.slow
def test_single_line_of_40_circuits_prints_one_drawing_a_landscape_sheet():
    job = make_wired_job()
    first = Circuit.objects.get()
    for number in range(2, 41):
        first.pk, first.ref = None, f"A-{number:02}"
        first._state.adding = True
        first.save()
    section = sections(job)[1]
    made = make(
        section_of(
            words="Section 1",
            template=section["template"],
            context={**section["data"], "section": {"key": "a", "title": section["title"]}},
            page_size="letter",
        )
    )
    # Letters of a drawing stand one by one in the file; readers put them together by place.
    texts = ["".join(text.split()) for text in page_texts(made)]
    assert len(texts) == 3
    assert "A-01" in texts[0] and "A-16" in texts[1] and "A-40" in texts[2]


def test_energy_and_axle_drawings_stand_in_their_sections(shop):
    job = make_wired_job()
    unit = make_unit(
        job=job, number="SR-4", wheelbase_mm=3759, received_front_g=1_500_000,
        received_rear_g=1_200_000,
    )  # fmt: skip
    OperatingMode.objects.create(job=job, key="respond", name="Respond", source="idle")
    sections = {one["key"]: one["data"] for one in gather(unit, revision=1).sections}
    assert "One bar a mode, 1 in all" in sections["energy"]["drawings"][0]["alt"]
    assert "Respond" in sections["energy"]["drawings"][0]["svg"]
    assert sections["energy"]["table"][0][0] == "Respond"
    assert "Front 3,3" in sections["weights"]["drawings"][0]["alt"]
    assert [row[0] for row in sections["weights"]["table"]] == ["Front axle", "Rear axle"]


def test_energy_and_axle_drawings_are_left_out_while_data_are_missing(shop):
    sections = {
        one["key"]: one["data"]
        for one in gather(make_unit(job=make_job(), number="SR-4"), revision=1).sections
    }
    assert "energy" not in sections
    assert sections["weights"]["drawings"] == []
