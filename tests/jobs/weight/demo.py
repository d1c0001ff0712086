"""The demo van's weights: the figures that must reproduce."""

from jobs.weight.loads import POUND_KG, Item, Vehicle, WeightDesign

INCH_M = 0.0254

# ref, pieces, pounds each, inches behind the front axle
LINES: tuple[tuple[str, int, float, float], ...] = (
    ("L01", 1, 34, 52),
    ("L02", 4, 0.6, -30),
    ("L03", 2, 0.6, -34),
    ("L04", 2, 0.5, 18),
    ("L05", 6, 1.1, 95),
    ("L06", 4, 1.1, 178),
    ("L07", 2, 0.6, 180),
    ("L08", 1, 6, 178),
    ("L09", 1, 0.3, 5),
    ("L10", 6, 4.5, 110),
    ("L11", 1, 68, 118),
    ("L12", 1, 14, 118),
    ("L13", 8, 0.3, 90),
    ("L14", 6, 0.5, 100),
    ("L15", 1, 6.5, 60),
    ("L16", 2, 5.5, -30),
    ("L17", 1, 1.2, 184),
    ("L18", 1, 2.2, 30),
    ("L19", 3, 3.0, 96),
    ("L20", 2, 0.6, 140),
    ("L21", 2, 0.2, 118),
    ("L22", 5, 0.1, 110),
    ("L23", 1, 0.5, 20),
    ("L24", 2, 0.6, -5),
    ("L25", 1, 0.5, -5),
    ("L26", 1, 0.9, 96),
    ("L27", 2, 0.6, 50),
    ("L28", 3, 1.5, 100),
    ("L29", 2, 1.2, 100),
    ("L30", 1, 1.4, 60),
    ("L31", 1, 1.8, 60),
    ("L32", 2, 68, 92),
    ("L33", 1, 58, 98),
    ("L34", 1, 3, 150),
    ("L35", 1, 12, 104),
    ("L36", 4, 0.4, 110),
    ("L37", 1, 70, 75),
    ("L38", 1, 7, 40),
    ("L39", 1, 3.5, 75),
    ("L40", 2, 0.5, 70),
    ("L41", 1, 1.6, 80),
    ("L42", 1, 2, 72),
    ("L43", 1, 14, 32),
    ("L44", 1, 6, 32),
    ("L45", 1, 9, 80),
    ("L46", 1, 7, 60),
    ("L47", 1, 11, 60),
    ("L48", 1, 28, 30),
    ("L49", 1, 210, 122),
    ("L50", 1, 150, 128),
    ("L51", 1, 75, 80),
    ("L52", 1, 115, 152),
    ("L53", 1, 60, 54),
    ("L54", 1, 45, 112),
    ("L55", 1, 40, 118),
    ("L56", 1, 72, -38),
    ("L57", 1, 85, 140),
    ("L58", 1, 14, 70),
    ("L59", 1, 6, 130),
    ("L60", 4, 0.3, 90),
    ("L61", 4, 1.2, 125),
    ("L62", 1, 95, 100),
    ("L63", 1, 20, 150),
    ("L64", 1, 40, 90),
    ("L65", 1, 12, 110),
)
ON_ROOF = {"L01", "L11", "L12", "L40", "L41", "L47", "L57", "L59"}
PAYLOAD: tuple[tuple[str, int, float, float], ...] = (
    ("front pair", 2, 200, 18),
    ("rear pair", 2, 200, 82),
    ("gear", 1, 900, 135),
)


def _item(row: tuple[str, int, float, float]) -> Item:
    ref, pieces, pounds, inches = row
    return Item(
        ref=ref,
        quantity=pieces,
        mass_kg=pounds * POUND_KG,
        x_m=inches * INCH_M,
        y_m=0.0,
        on_roof=ref in ON_ROOF,
        cargo=ref == "gear",
    )


def demo_weights() -> WeightDesign:
    return WeightDesign(
        vehicle=Vehicle(
            wheelbase_m=148 * INCH_M,
            track_m=68 * INCH_M,
            gvwr_kg=11_030 * POUND_KG,
            gawr_front_kg=4_630 * POUND_KG,
            gawr_rear_kg=7_275 * POUND_KG,
            received_front_kg=3_340 * POUND_KG,
            received_rear_kg=2_610 * POUND_KG,
            roof_limit_kg=330 * POUND_KG,
            seats=4,
            scale_front_kg=3_948 * POUND_KG,
            scale_rear_kg=3_742 * POUND_KG,
        ),
        items=tuple(_item(row) for row in LINES),
        payload=tuple(_item(row) for row in PAYLOAD),
    )
