"""Layered SVG drawings to counted cross-stitch charts."""
