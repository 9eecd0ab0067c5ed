"""The write-up in its forms: every figure in them comes from `figures`, and what they say from `told`."""
