"""Floor 2: the leather in hand."""
