"""Pages and sheets from lines of text, numbers and pictures."""
