"""Commands: read field by field, and what they name looked up."""
