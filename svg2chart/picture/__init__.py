"""A picture of the stitched piece: threads with light and shade on cloth, as SVG and as PNG."""
