"""What a square can hold, what each choice costs, and the choice of least cost over the whole chart."""
