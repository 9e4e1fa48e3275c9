"""Applies `calc` to the network: drop, fault current, protection, balance, availability; one frozen result each."""
