"""The board's drawing tools: pure answers to where a pointer snaps and which shape two points make."""
