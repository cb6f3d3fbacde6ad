"""The printed pages: which square on which sheet and where, and the PDF made of it."""
