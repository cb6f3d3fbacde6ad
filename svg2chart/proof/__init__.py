"""The proof: a page that shows a chart, live beside the drawing or as one file, and why each square is so."""
