"""The tests, one folder a part."""
