"""What the user drew, as frozen records, and the functions that change it."""
