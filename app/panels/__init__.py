"""What stands around the board: the job bar, the sentence, the side panel, the start sheet."""
