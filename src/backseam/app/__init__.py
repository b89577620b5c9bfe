"""The workshop app: a server on this machine only, its pages and its API. No formula lives here."""
