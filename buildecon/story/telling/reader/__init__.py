"""The part of the published page that a reader can move: data and first state from here, the sums again in the browser."""
