"""Learners' code runs here, walled off, and hands over plain data."""
