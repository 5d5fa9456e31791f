"""Shared by all tests: nothing here opens a window, a camera or a network."""
