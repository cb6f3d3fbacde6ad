"""Plane geometry: curves, polygons and strokes. Knows neither SVG nor cloth."""
