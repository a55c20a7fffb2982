"""Ready bodies, by trade class: what is bought or made often, with sizes to be measured and corrected."""
