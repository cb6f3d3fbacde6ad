"""Alphabets of our own drawing: letters in backstitch and in stitches, as pictures in text files."""
