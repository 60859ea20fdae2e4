"""Decisions about people that need no database."""
