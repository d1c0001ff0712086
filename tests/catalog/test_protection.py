"""The catalog knows no circuits; what both must call the same is compared here."""

from catalog.protection import CONDUCTOR_SIZES, DeviceKind
from jobs.electrical.tables.conductors import THIN_TO_THICK
from jobs.models import Circuit


def test_sizes_are_those_of_the_conductor_table():
    assert CONDUCTOR_SIZES == THIN_TO_THICK


def test_kinds_of_device_are_those_of_circuits_without_a_nodes_own_trip():
    circuits = dict(Circuit._meta.get_field("device_kind").choices)
    circuits.pop("electronic")
    assert dict(DeviceKind.choices) == circuits
