"""What to do: must-haves, where the curves cross, the price of joy, and the comparison that holds them."""
