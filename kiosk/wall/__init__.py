"""The kiosk on the wall: what it stands on, its devices, its installation and its updates."""
