"""The pages of the proof: coin test, volts under load, protection."""
