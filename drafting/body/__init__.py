"""The wearer's body: the catalogue of measurements, what is estimated from what, what is questioned."""

from __future__ import annotations

from drafting.body.catalogue import CATALOGUE, ESSENTIAL, LATER, Measurement
from drafting.body.fit import FIT_NOTES, FitNote
from drafting.body.person import Body, Measure
from drafting.body.questions import Question, questions
from drafting.body.sizes import SIZES, Size, size_of

__all__ = [
    "CATALOGUE",
    "ESSENTIAL",
    "FIT_NOTES",
    "LATER",
    "SIZES",
    "Body",
    "FitNote",
    "Measure",
    "Measurement",
    "Question",
    "Size",
    "questions",
    "size_of",
]
