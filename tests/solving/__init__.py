"""Tests of the solving package; they run on PuLP 3.3 and on PuLP 4."""
