"""Networks of capacitors, their exact steps and what every capacitor holds."""
