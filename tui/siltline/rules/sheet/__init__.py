"""The shapes of a house sheet: site, loss, building, electrical parts, systems, belongings."""
