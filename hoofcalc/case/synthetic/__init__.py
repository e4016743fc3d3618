"""Photographs and film drawn as a camera would see a known foot: for proofs and the example."""
