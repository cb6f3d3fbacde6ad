"""What a vector editor asks for: changes of a drawing that leave all of it as it is but what was asked."""
