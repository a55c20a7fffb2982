"""The preview of what is handed over."""
