"""The work guide: in what order a chart is stitched, where threads start, what is told of it in words."""
