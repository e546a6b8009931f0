"""From verified limits to marks on a modern gauge, and the gauge drawn with them."""

from __future__ import annotations

from reconcile.dials.draw import dial_svg, strip_svg
from reconcile.dials.gauges import (
    Calibration,
    CalibrationPoint,
    Gauge,
    find_gauge,
    gauges,
    gauges_for,
    read_calibration,
    read_gauge,
)
from reconcile.dials.marks import Mark, MarkSet, make_marks

__all__ = [
    "Calibration",
    "CalibrationPoint",
    "Gauge",
    "Mark",
    "MarkSet",
    "dial_svg",
    "find_gauge",
    "gauges",
    "gauges_for",
    "make_marks",
    "read_calibration",
    "read_gauge",
    "strip_svg",
]
