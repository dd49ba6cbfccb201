"""The book: an append-only record of what happened in the studio, and what follows from it."""
