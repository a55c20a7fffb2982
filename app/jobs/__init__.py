"""The only threads of the program."""
