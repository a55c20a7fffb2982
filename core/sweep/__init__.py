"""Plans, runs and records sweeps: every position the drives can reach, alone and together."""
