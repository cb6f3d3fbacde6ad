"""SVG documents to `Artwork`; nothing outside this package has heard of XML or CSS."""
