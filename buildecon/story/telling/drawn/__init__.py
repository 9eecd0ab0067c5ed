"""Frames: scenes with one idea each, drawn by pictures of bars, curves and facts."""
