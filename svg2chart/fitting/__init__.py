"""The drawing moved gently onto the grid, before anything is measured."""
