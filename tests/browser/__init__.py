"""Whole jobs in a real browser."""

import pytest

# So that "what was typed is still there" says which field lost it.
pytest.register_assert_rewrite("tests.browser.person")
