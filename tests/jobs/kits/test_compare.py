from jobs.kits.compare import differences


def test_equal_builds_have_no_difference():
    build = {"lines": [{"ref": "L01", "quantity": 2}], "payload": [{"description": "Crew"}] * 2}
    assert differences(build, build) == []


def test_added_removed_and_changed_rows_are_named():
    before = {"lines": [{"ref": "L01", "quantity": 2, "note": ""}, {"ref": "L02"}]}
    after = {"lines": [{"ref": "L01", "quantity": 3, "note": None}, {"ref": "L03"}]}
    found = {one.name: one for one in differences(before, after)}
    assert {name: one.word for name, one in found.items()} == {
        "L01": "changed", "L02": "removed", "L03": "added",
    }  # fmt: skip
    (cell,) = found["L01"].cells
    assert (cell.column, cell.before, cell.after) == ("quantity", 2, 3)


def test_rows_of_one_name_are_told_apart_by_their_order():
    crew = [{"description": "Crew", "x": 1}, {"description": "Crew", "x": 2}]
    (one,) = differences({"payload": crew}, {"payload": crew[:1]})
    assert (one.name, one.word) == ("Crew (2)", "removed")


def test_a_table_that_one_side_lacks_is_not_compared():
    assert differences({"lines": [{"ref": "L01"}]}, {}) == []
