"""Figures with their units: found, attached to what they belong to, converted, and held against published tables."""

from pipeline.quantities.attach import attach_quantities
from pipeline.quantities.checks import check_quantities
from pipeline.quantities.convert import customary, format_amount, format_quantity
from pipeline.quantities.finder import figure_places, find_quantities

__all__ = [
    "attach_quantities",
    "check_quantities",
    "customary",
    "figure_places",
    "find_quantities",
    "format_amount",
    "format_quantity",
]
