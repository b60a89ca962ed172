"""What is proved once it is wired: coins, volts under load, who trips first."""
