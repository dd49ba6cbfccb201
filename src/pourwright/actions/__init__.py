"""What the maker does, one module a thing; where the parts meet."""
