"""Many drawings: a folder of them to a folder of charts, on one machine or many."""
