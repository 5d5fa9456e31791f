"""The hub: a PostgreSQL database through which kiosks exchange their entries. No program of ours runs there."""
