"""Fonts, shaping and letters."""
