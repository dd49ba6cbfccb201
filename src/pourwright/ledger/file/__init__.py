"""The book as a file: its tables, opened, read, written, checked, copied, brought up to date."""
