"""The problem, the forecast, batches, sessions, checks and cost. No clock, file or database."""
