"""Floor 6: one document, one recipe: readings and decisions in, everything else computed."""
