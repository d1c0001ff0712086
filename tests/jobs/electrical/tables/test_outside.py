from jobs.electrical.tables.conductors import SIZE_BY_AWG, THIN_TO_THICK
from jobs.electrical.tables.outside import OUTSIDE_MM, SOURCE
from jobs.sources import SOURCE_BY_ID

MIL_MM = 0.0254


def test_every_conductor_size_has_an_outside_diameter_that_grows_with_it():
    assert tuple(OUTSIDE_MM) == THIN_TO_THICK
    diameters = list(OUTSIDE_MM.values())
    assert diameters == sorted(set(diameters))


def test_insulation_lies_around_the_copper():
    for awg, outside in OUTSIDE_MM.items():
        assert outside > SIZE_BY_AWG[awg].diameter_mil * MIL_MM


def test_the_source_says_that_there_is_none():
    assert SOURCE_BY_ID[SOURCE].status == "CP"
