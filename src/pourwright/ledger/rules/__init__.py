"""What the book refuses, rule by rule."""
