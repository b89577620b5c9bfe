"""Floor 2: the solid that the leather is moulded on, from readings to sections along an axis."""
