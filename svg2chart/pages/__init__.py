"""The printed chart: which square on which page and where, then PDF."""
