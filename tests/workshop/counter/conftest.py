"""A house, the house next door, and the people of the first signed in."""

from __future__ import annotations

from tests.workshop.surface_fixtures import *  # noqa: F403  pytest finds fixtures by their names here
