"""Floor 3: the flat piece with its seam, holes, collar and hanger."""
