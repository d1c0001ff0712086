import pytest
from django.contrib.auth.models import Group, User

from config.access import DESIGNER, INSPECTOR, MANAGER, ROLES, TECHNICIAN, roles_of
from jobs.models import AuditEvent, Shop
from jobs.people import actions


def change(person: User, by: User, **new) -> User:
    kept = {
        "full_name": person.get_full_name(),
        "username": person.username,
        "email": person.email,
        "roles": sorted(roles_of(person)),
        "is_active": person.is_active,
    }
    return actions.change_person(person=person, by=by, **{**kept, **new})


def open_shop(shop_name: str = "Corner Works") -> User:
    return actions.open_shop(
        shop_name=shop_name, full_name="Olga Fir", username="olga", passphrase="four plain words x"
    )


def test_open_shop_makes_shop_roles_and_an_account_with_all_of_them(db):
    person = open_shop()
    assert Shop.objects.get().name == "Corner Works"
    assert set(Group.objects.values_list("name", flat=True)) == set(ROLES)
    assert roles_of(person) == frozenset(ROLES)
    assert person.get_full_name() == "Olga Fir"
    assert person.check_password("four plain words x")
    assert AuditEvent.objects.get().sentence == "Opened the shop Corner Works."


def test_open_shop_works_once_and_leaves_no_second_account(db):
    open_shop()
    with pytest.raises(actions.PeopleError, match="open already"):
        actions.open_shop(
            shop_name="Other", full_name="Eve Gum", username="eve", passphrase="four plain words x"
        )
    assert Shop.objects.get().name == "Corner Works"
    assert not User.objects.filter(username="eve").exists()


def test_add_person_tells_the_history_who_came_as_what(manager):
    Group.objects.bulk_create([Group(name=role) for role in ROLES], ignore_conflicts=True)
    person = actions.add_person(
        full_name="Ida Yew",
        username="ida",
        email="",
        roles=[INSPECTOR, TECHNICIAN],
        passphrase="four plain words x",
        by=manager,
    )
    assert roles_of(person) == {INSPECTOR, TECHNICIAN}
    event = AuditEvent.objects.get(subject_kind="User")
    assert event.sentence == "Added Ida Yew (ida) as Technician, Inspector."
    assert event.who == "Mona Ash"


def test_change_person_replaces_roles_and_access(manager, designer, technician):
    change(designer, manager, roles=[TECHNICIAN], is_active=False)
    again = User.objects.get(pk=designer.pk)
    assert roles_of(again) == {TECHNICIAN}
    assert not again.is_active
    assert "Technician, may not sign in" in AuditEvent.objects.latest("id").sentence


@pytest.mark.parametrize("new", [{"is_active": False}, {"roles": []}, {"roles": [DESIGNER]}])
def test_the_last_active_manager_stays(manager, designer, new):
    with pytest.raises(actions.PeopleError, match="Mona Ash is the last active office manager"):
        change(manager, manager, **new)
    again = User.objects.get(pk=manager.pk)
    assert again.is_active
    assert roles_of(again) == {MANAGER}
    assert not AuditEvent.objects.exists()


def test_a_closed_account_does_not_count_as_the_other_manager(manager, owner):
    change(owner, manager, is_active=False)
    with pytest.raises(actions.PeopleError):
        change(manager, manager, is_active=False)


def test_a_manager_may_leave_when_another_one_stays(manager, owner):
    change(manager, owner, is_active=False)
    assert not User.objects.get(pk=manager.pk).is_active


def test_set_passphrase_says_whose_but_never_what(manager, technician):
    actions.set_passphrase(person=technician, passphrase="brand new phrase", by=manager)
    assert technician.check_password("brand new phrase")
    sentence = AuditEvent.objects.get().sentence
    assert sentence == "Changed the passphrase of Tess Cedar."


def test_change_shop_names_the_changed_fields(shop, manager):
    shop.labour_rate_cents = 12_500
    shop.phone = "not saved because not named"
    actions.change_shop(shop=shop, changed=["labour_rate_cents"], by=manager)
    again = Shop.objects.get()
    assert (again.labour_rate_cents, again.phone) == (12_500, "555 0100")
    assert "labour rate" in AuditEvent.objects.get().sentence


def test_change_shop_without_a_change_writes_nothing(shop, manager):
    actions.change_shop(shop=shop, changed=[], by=manager)
    assert not AuditEvent.objects.exists()
