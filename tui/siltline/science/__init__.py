"""Pure arithmetic of the trade: SI in, SI out; no file, no clock.

Temperatures in degrees Celsius, pressures in pascals, humidity and dilutions as ratios 0..1, flows
in cubic metres a second; only moisture content of wood stays in percent, as every meter and table
has it. Wrong input is refused by an error named for what is wrong with it (`faults.py`).
"""
