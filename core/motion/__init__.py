"""Drive values to poses, and what is wrong with the mechanism."""
