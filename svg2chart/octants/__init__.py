"""Exact areas: edges cut to quadrants, windings, regions, and the stacks of shapes seen in them."""
