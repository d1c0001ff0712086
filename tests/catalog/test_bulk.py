import pytest

from catalog.bulk import write_plan
from catalog.models import Part
from catalog.plan import plan_of
from tests.catalog.hostile import csv_of
from tests.factories import make_part

HEADER = "code,kind,description,list_usd,hours,retired"


@pytest.mark.slow
@pytest.mark.parametrize("count", [3, 300])
def test_the_number_of_queries_hardly_grows_with_the_plan(db, django_assert_max_num_queries, count):
    for number in range(count):
        make_part(code=f"OLD-{number}")
    old = [f"OLD-{n},scene,Lamp,1,1,yes" for n in range(count)]
    new = [f"NEW-{n},scene,Lamp,1,1,yes" for n in range(count)]
    plan = plan_of(name="parts.csv", content=csv_of(*old, *new, header=HEADER))
    with django_assert_max_num_queries(60):
        write_plan(plan=plan, reason="", made_by="Mona")
    assert Part.objects.filter(retired=True, current__description="Lamp").count() == 2 * count
