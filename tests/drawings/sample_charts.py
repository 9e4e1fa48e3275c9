"""Charts of the invented yacht; every figure is invented."""

from __future__ import annotations

from loombook.drawings.chartmodel import Band, Bars, Curve, Lines, Span, TimeCurrent, speed_and_range

TIME_CURRENT = TimeCurrent(
    "chart.time-current",
    "Time and current at F1 and F15",
    (
        Band(
            "F1 250 A class T",
            ((300, 1000), (400, 100), (600, 5), (1500, 0.1), (4000, 0.01)),
            ((400, 1000), (550, 100), (900, 5), (2500, 0.1), (7000, 0.01)),
        ),
        Band(
            "F15 60 A bolt-down fuse",
            ((70, 1000), (90, 100), (150, 5), (400, 0.1), (1000, 0.01)),
            ((95, 1000), (140, 100), (240, 5), (800, 0.1), (2000, 0.01)),
        ),
    ),
    (Curve("cable W3 95 mm² withstands", ((400, 900), (1100, 100), (3700, 9), (35000, 0.1))),),
    (Span("prospective fault current, 2.1 to 8.9 kA", 2100, 8900),),
    (Curve("start of the thruster", ((600, 0.01), (600, 0.3), (250, 0.3), (250, 30))),),
    "Each fuse opens before its cable is harmed.",
)

CHARGE = Lines(
    "chart.charge",
    "State of charge at sea",
    "hour of the day",
    "state of charge, %",
    (
        Curve("house bank", ((0, 80), (3, 71), (6, 62), (9, 63), (12, 72), (15, 84), (18, 88), (21, 84), (24, 79))),
        Curve("start bank, measured", ((0, 96), (8, 95), (16, 97), (24, 96)), True),
    ),
    (Span("night", 0, 6), Span("night", 20, 24)),
    ("least charge allowed", 20),
    (0, 24),
    (0, 100),
    3,
    "The house bank stays over its floor.",
)

RANGE = speed_and_range(
    "chart.range",
    "Range under electric drive",
    (
        Curve("calm, measured", ((2, 80), (3, 62), (4, 41), (5, 24), (6, 12)), True),
        Curve("head wind, estimated", ((2, 60), (3, 43), (4, 28), (5, 15), (6, 7))),
    ),
)

BALANCE = Bars(
    "chart.balance",
    "Consumption in a day",
    "Ah in a day at 24 V",
    ("At sea, day", "At sea, night", "At anchor", "Alongside with the shore lead in"),
    (("navigation", (60, 80, 5, 0)), ("comfort", (40, 30, 70, 50)), ("safety", (6, 6, 4, 2))),
)

ALL = (TIME_CURRENT, CHARGE, RANGE, BALANCE)
