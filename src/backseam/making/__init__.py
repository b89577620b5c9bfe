"""Floor 4: the order of work with its gates, and what the job has to take on trust."""
