"""The computation of Baysweep: model, motion, gaps, sweeps, hand-over. No Qt, no printing, no globals."""
