"""Questions at the bench: one file a subject, and what reads, words and prints them."""
