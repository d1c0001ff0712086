"""A design with one run exchanged."""

from dataclasses import replace

from jobs.electrical.design import Circuit, Design, Feed


def with_circuit(design: Design, circuit: Circuit) -> Design:
    """The design with the circuit of the same reference exchanged."""
    circuits = tuple(circuit if item.ref == circuit.ref else item for item in design.circuits)
    return replace(design, circuits=circuits)


def with_feed(design: Design, feed: Feed) -> Design:
    """The design with the feed of the same reference exchanged."""
    feeds = tuple(feed if item.ref == feed.ref else item for item in design.feeds)
    return replace(design, feeds=feeds)
