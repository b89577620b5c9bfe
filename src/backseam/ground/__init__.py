"""Floor 0: units, findings, sources, speech, progress, errors. Standard library only."""
