"""What changed between two checks."""

from jobs.electrical.changes import ChangeKind, what_changed
from jobs.electrical.check import check
from tests.jobs.electrical.demo import demo_design, with_circuit


def kinds(changes):
    return [
        (change.kind, (change.after or change.before).rule, (change.after or change.before).subject)
        for change in changes
    ]


def test_nothing_changes_between_equal_designs():
    assert what_changed(check(demo_design()), check(demo_design())) == []


def test_thinner_wire_shows_what_appeared():
    thin = with_circuit(demo_design(), "A-02", awg="14")
    found = kinds(what_changed(check(demo_design()), check(thin)))
    assert (ChangeKind.APPEARED, "voltage_drop", "A-02") in found
    assert all(kind is ChangeKind.APPEARED for kind, _, _ in found)


def test_the_way_back_shows_what_vanished():
    thin = with_circuit(demo_design(), "A-02", awg="14")
    there = kinds(what_changed(check(demo_design()), check(thin)))
    back = kinds(what_changed(check(thin), check(demo_design())))
    assert {item[1:] for item in back} == {item[1:] for item in there}
    assert all(kind is ChangeKind.VANISHED for kind, _, _ in back)


def test_a_problem_that_got_worse_is_a_change_with_both_states():
    bad, worse = (with_circuit(demo_design(), "A-02", awg=awg) for awg in ("14", "16"))
    [drop] = [
        change
        for change in what_changed(check(bad), check(worse))
        if change.after and change.after.rule == "voltage_drop"
    ]
    assert drop.kind is ChangeKind.CHANGED
    assert drop.after.measured > drop.before.measured


def test_a_pass_with_another_number_is_no_change():
    shorter = with_circuit(demo_design(), "A-02", length_m=5.0)
    assert what_changed(check(demo_design()), check(shorter)) == []


def test_problems_only_gives_the_same_changes():
    thin = with_circuit(demo_design(), "A-02", awg="14")
    fast = what_changed(check(demo_design(), problems_only=True), check(thin, problems_only=True))
    assert fast == what_changed(check(demo_design()), check(thin))
