"""Motifs of the demo artwork, drawn in millimetres on the wall, y down."""
