"""What is read aloud: sentences in words and round figures, put together to a length of time."""
