"""What leaves the program: pictures, templates, envelopes, and the writers that all of them share."""
