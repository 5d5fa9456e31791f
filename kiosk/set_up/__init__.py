"""Setting up a yard: made on the first run, prepared at a desk, taken out and brought in, changed at the kiosk.

A yard's set-up is its name, units with assemblies and positions, the parts that sit there, labels, crew and service
sheets. What was done is no part of it: that is the journal's, and goes by backup and export.
"""
