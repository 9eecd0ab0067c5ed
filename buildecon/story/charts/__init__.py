"""One chart a file: tidy frames in, a drawing out, no sums."""
