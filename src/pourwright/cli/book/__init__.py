"""``pourwright book``: each verb as a command, lines from a script, questions and copies."""
