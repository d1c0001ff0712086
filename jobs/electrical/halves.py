"""The loads of a circuit dealt out to two."""

from dataclasses import replace

from jobs.electrical.design import Load


def halves_of(loads: tuple[Load, ...]) -> tuple[tuple[Load, ...], tuple[Load, ...]] | None:
    """Pieces dealt out one by one, heaviest first, to the lighter side; None for one piece."""
    pieces = [replace(load, quantity=1) for load in loads for _ in range(load.quantity)]
    if len(pieces) < 2:
        return None
    pieces.sort(key=lambda load: load.peak_a or 0.0, reverse=True)
    sides: tuple[list[Load], list[Load]] = ([], [])
    sums = [0.0, 0.0]
    for piece in pieces:
        side = 0 if sums[0] <= sums[1] else 1
        sums[side] += piece.peak_a or 0.0
        sides[side].append(piece)
    return tuple(_joined(sides[0])), tuple(_joined(sides[1]))


def _joined(pieces: list[Load]) -> list[Load]:
    """Equal pieces as one load again."""
    counts: dict[Load, int] = {}
    for piece in pieces:
        counts[piece] = counts.get(piece, 0) + 1
    return [replace(piece, quantity=count) for piece, count in counts.items()]
