"""Numbers with a unit: estimates, money, distance and energy, and money over time."""
