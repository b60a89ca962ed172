"""Tests of Feederwright."""
