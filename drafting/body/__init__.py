"""The wearer's body: the catalogue of measurements, what is estimated from what, what is questioned."""

from __future__ import annotations

from drafting.body.catalogue import CATALOGUE, ESSENTIAL, Measurement
from drafting.body.person import Body, Measure
from drafting.body.questions import Question, questions

__all__ = ["CATALOGUE", "ESSENTIAL", "Body", "Measure", "Measurement", "Question", "questions"]
