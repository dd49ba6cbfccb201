"""Second engines of the forecast, slow and plain on purpose."""
