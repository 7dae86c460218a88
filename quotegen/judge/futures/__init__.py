"""Demand as a range: what each route costs in many futures, and when to buy the tool."""
