"""Letters drawn for the squares: outlines fitted to them, alphabets of our own, words set of both."""
