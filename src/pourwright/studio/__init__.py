"""What the maker does and sees over the book: today, bench, shelf, kiln, lots, editions, records."""
