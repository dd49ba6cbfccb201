"""The pages, each a module that registers its own routes."""
