"""The command line: reads arguments, calls one action, shows the answer."""
