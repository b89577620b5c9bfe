"""Floor 1: plane and surface geometry. Knows points and curves, not leather."""
