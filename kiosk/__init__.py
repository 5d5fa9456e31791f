"""The shaft-and-belt kiosk: scan a part's label, work through its form, keep its record."""
