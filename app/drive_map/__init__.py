"""The two-drive map on the sheet."""
