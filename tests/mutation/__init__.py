"""Mutation testing: small faults put into the rules and the judge, one at a time."""
