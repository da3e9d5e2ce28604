"""Reads resources/ and a shop's own files into plain values, or says what is wrong with them."""
