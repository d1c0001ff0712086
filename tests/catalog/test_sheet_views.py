import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from catalog.actions import revise_part
from catalog.models import Part, PartImport, PartRevision
from tests.catalog.hostile import HOSTILE, csv_of, xlsx_of
from tests.factories import make_datasheet, make_part
from tests.form_data import form_data

IMPORT = reverse("catalog:part_import")
HEADER = "code,kind,description,list_usd,hours"


@pytest.fixture
def office(client: Client, designer: User) -> Client:
    client.force_login(designer)
    return client


def send(client: Client, content: bytes, name: str = "parts.csv"):
    return client.post(IMPORT, {"file": SimpleUploadedFile(name, content)})


def apply(client: Client, check: str, **typed: str):
    """Press the button of a dry run."""
    page = client.get(check)
    data = {"digest": page.context["digest"], **typed}
    return client.post(f"{check}apply/", data, follow=True)


# --- Import ---


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_part_import_shows_the_dry_run_and_applies_exactly_that(office, ending):
    make_part(code="P-1")
    make_part(code="P-2")
    rows = [["P-1", "warning", "Grille head", 151.25, 0.75], ["NEW", "scene", "Lamp", 10, 1]]
    content = (
        csv_of(*(",".join(map(str, row)) for row in rows)) if ending == "csv" else xlsx_of(*rows)
    )
    sent = send(office, content, f"parts.{ending}")
    assert sent.status_code == 302
    assert PartRevision.objects.count() == 2
    text = office.get(sent.url).content.decode()
    for words in ("1 new, 1 changed", "<del>$148.00</del>", "<ins>$151.25</ins>", "1 other part"):
        assert words in text
    done = apply(office, sent.url)
    assert f"1 new and 1 changed parts from parts.{ending}" in done.content.decode()
    assert Part.objects.get(code="P-1").current.list_price_cents == 15_125
    assert Part.objects.get(code="NEW").current.created_by == "Dan Birch"


@pytest.mark.parametrize("kind", HOSTILE)
def test_part_import_refuses_hostile_files_with_a_sentence(office, kind):
    answer = send(office, HOSTILE[kind][0])
    assert answer.status_code == 422
    assert answer.context["form"].errors["file"]
    assert not Part.objects.exists() and not PartImport.objects.exists()


def test_part_import_refuses_60_megabytes(office):
    answer = send(office, b"x" * (60 * 1024 * 1024))
    assert answer.status_code == 422
    assert "parts.csv has 60.0 MB; at most 5.0 MB are read." in answer.content.decode()


@pytest.mark.parametrize("data", [{}, {"file": "not a file"}])
def test_part_import_without_a_file_is_told(office, data):
    answer = office.post(IMPORT, data)
    assert answer.status_code == 422 and "Choose a file." in answer.content.decode()


def test_part_import_names_every_wrong_cell_and_writes_nothing(office):
    content = csv_of("P-1,bulb,Lamp,-1,1", "P-2,scene,Lamp <b>,10,1e400", "P-3,scene,=A1,1,1")
    answer = send(office, content)
    text = answer.content.decode()
    assert answer.status_code == 422
    assert "4 wrong cells. Nothing was changed." in text
    for words in ("bulb is not one of", "-1 $ is below 0", "1e400 h is above 1000", "is a formula"):
        assert words in text
    assert not Part.objects.exists() and not PartImport.objects.exists()


def test_part_import_escapes_what_the_sheet_holds(office):
    attack = "<script>alert(1)</script>"
    sent = send(office, csv_of(f"P-1,scene,{attack},1,1"), f"{attack}.csv")
    text = office.get(sent.url).content.decode()
    assert attack not in text and "&lt;script&gt;" in text


def test_part_import_apply_twice_applies_once(office):
    sent = send(office, csv_of("NEW,scene,Lamp,10,1"))
    digest = office.get(sent.url).context["digest"]
    for _ in range(2):
        answer = office.post(f"{sent.url}apply/", {"digest": digest}, follow=True)
    assert "Dan Birch applied parts.csv already." in answer.content.decode()
    assert PartRevision.objects.count() == 1


def test_part_import_apply_is_told_when_the_catalog_moved(office):
    part = make_part(code="P-1")
    sent = send(office, csv_of("P-1,151", header="code,list_usd"))
    digest = office.get(sent.url).context["digest"]
    sheet = make_datasheet(description="Head by somebody else")
    revise_part(part=part, base_number=1, datasheet=sheet, by="Mona Ash")
    answer = office.post(f"{sent.url}apply/", {"digest": digest}, follow=True)
    text = answer.content.decode()
    assert "The catalog changed after this dry run. Nothing was applied." in text
    assert "<ins>$151.00</ins>" in text
    assert PartRevision.objects.count() == 2
    apply(office, sent.url)
    current = Part.objects.get().current
    assert (current.number, current.list_price_cents) == (3, 15_100)
    assert current.description == "Head by somebody else"


@pytest.mark.parametrize("digest", ["", "x", "0" * 64])
def test_part_import_apply_needs_the_digest_of_the_dry_run(office, digest):
    sent = send(office, csv_of("NEW,scene,Lamp,10,1"))
    answer = office.post(f"{sent.url}apply/", {"digest": digest}, follow=True)
    assert "Nothing was applied" in answer.content.decode()
    assert not Part.objects.exists()


def test_part_import_apply_refuses_bytes_that_were_changed_on_the_way(office):
    sent = send(office, csv_of("NEW,scene,Lamp,10,1"))
    digest = office.get(sent.url).context["digest"]
    PartImport.objects.update(content=csv_of("NEW,scene,Lamp,99,1"))
    answer = office.post(f"{sent.url}apply/", {"digest": digest}, follow=True)
    assert "is damaged. Upload it again." in answer.content.decode()
    assert not Part.objects.exists()


def test_part_import_check_of_a_sheet_that_says_nothing_new_has_no_button(office):
    make_part(code="P-1")
    sent = send(office, csv_of("P-1,148", header="code,list_usd"))
    text = office.get(sent.url).content.decode()
    assert "Nothing to apply" in text and "apply/" not in text


def test_part_import_check_turns_pages_of_many_changes(office, django_assert_max_num_queries):
    sent = send(office, csv_of(*(f"P-{n},scene,Lamp,1,1" for n in range(250))))
    with django_assert_max_num_queries(12):
        answer = office.get(sent.url, {"page": "3"})
    assert len(answer.context["page"]) == 50
    assert "Apply 250 changes" in answer.content.decode()


def test_part_import_check_after_applying_shows_who_and_when(office):
    sent = send(office, csv_of("NEW,scene,Lamp,10,1"))
    apply(office, sent.url)
    text = office.get(sent.url).content.decode()
    assert "by Dan Birch: 1 new" in text and "apply/" not in text
    assert "parts.csv" in office.get(IMPORT).content.decode()


def test_unknown_imports_are_not_found_and_wrong_methods_refused(office):
    assert office.get(f"{IMPORT}77/").status_code == 404
    assert office.post(f"{IMPORT}77/apply/").status_code == 404
    sent = send(office, csv_of("NEW,scene,Lamp,10,1"))
    assert office.get(f"{sent.url}apply/").status_code == 405
    assert office.post(sent.url).status_code == 405


def test_part_import_explains_every_column(office):
    text = office.get(IMPORT).content.decode()
    for name in ("code", "average_a", "weight_lb", "limit_count"):
        assert f">{name}</th>" in text


# --- Template and export ---


def body(answer) -> bytes:
    return b"".join(answer) if answer.streaming else answer.content


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_part_template_filled_in_is_imported(office, ending):
    answer = office.get(reverse("catalog:part_template", args=[ending]))
    assert answer["Content-Disposition"] == f'attachment; filename="parts-template.{ending}"'
    content = body(answer)
    if ending == "csv":
        content = content.replace(b"#EX-", b"EX-")
        assert send(office, content).status_code == 302


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_part_export_holds_the_filtered_parts_and_reads_back(office, ending):
    make_part(code="P-1", description="=cmd|' /C calc'!A0", note="two\nlines")
    make_part(code="P-2", kind="radio", draws=())
    answer = office.get(reverse("catalog:part_export", args=[ending]), {"kind": "warning"})
    content = body(answer)
    sent = send(office, content, f"parts.{ending}")
    text = office.get(sent.url).content.decode()
    assert "0 new, 0 changed" in text and "1 unchanged" in text
    if ending == "csv":
        assert b",'=cmd|" in content and b",=cmd" not in content


def test_part_export_of_an_impossible_filter_says_so(office):
    answer = office.get(reverse("catalog:part_export", args=["csv"]), {"kind": "bulb"}, follow=True)
    assert "bulb is not one of the words" in answer.content.decode()


@pytest.mark.parametrize("name", ["part_template", "part_export"])
def test_other_kinds_of_sheets_are_not_found(office, name):
    assert office.get(reverse(f"catalog:{name}", args=["exe"])).status_code == 404


def test_part_export_asks_the_database_as_often_for_many_parts(
    office, django_assert_max_num_queries
):
    for number in range(30):
        make_part(code=f"P-{number}")
    with django_assert_max_num_queries(8):
        lines = body(office.get(reverse("catalog:part_export", args=["csv"]))).splitlines()
    assert len(lines) == 31


def test_the_dry_run_page_sends_what_apply_needs(office):
    sent = send(office, csv_of("NEW,scene,Lamp,10,1"))
    page = office.get(sent.url)
    assert form_data(page)["digest"] == page.context["digest"]
