"""Thin lines: which points lie on which holes, and the way from hole to hole."""
