"""Will it hold: hold, draw and click as bands, which reading matters, what to change for another hold."""
