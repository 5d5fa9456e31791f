"""An invented yard to try the kiosk on: machines, crew, service sheets and three years of history, made by programs."""
