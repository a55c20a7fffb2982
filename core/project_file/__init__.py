"""Project files: the only place where a project meets the disk."""
