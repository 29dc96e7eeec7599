"""A crawl space: air changes, the fan for a source of moisture, vents, days.

A fan that blows out of a crawl space can pull a burner's exhaust into the house, so whoever
shows these numbers shows `calc.caution.burners` above them.
"""

from __future__ import annotations

import math

from msgspec import Struct

from siltline.science.air import Air, from_humidity
from siltline.science.faults import within
from siltline.science.outside import removal

# Openings of an under-floor space, and the exhaust of one without openings: International
# Residential Code R408.1, R408.3 (seen in summaries). Places change them: Washington asks 1/300.
VENT_SHARE, VENT_SHARE_COVERED = 1 / 150, 1 / 1500
EXHAUST = 4.719474432e-4 / (50 * 0.09290304)  # 1 cfm for each 50 ft2, in m3/s for each m2
DAY = 86_400.0  # s


class Code(Struct, frozen=True):
    """What the model code asks of a crawl space; the local code decides.

    Attributes:
        vents: net free area of openings, m2, over bare soil.
        vents_covered: likewise with a vapour retarder over the soil.
        exhaust: of a space without openings, m3/s, all the time.
    """

    vents: float
    vents_covered: float
    exhaust: float


class Fan(Struct, frozen=True):
    """A fan for a source of moisture, m3/s; inf where no fan will do it.

    Attributes:
        flow: for the readings as they are.
        least: if the meter erred the one way.
        most: if it erred the other way.
    """

    flow: float
    least: float
    most: float

    @property
    def possible(self) -> bool:
        """Tell whether any fan can do it."""
        return math.isfinite(self.flow)


def _area(area: float) -> float:
    return within("area", area, 1, 10_000, "m2")


def volume(area: float, height: float) -> float:
    """Return the volume, m3, of an area (1 to 10,000 m2) and a clear height (0.1 to 5 m).

    Raises:
        NotFinite, OutOfRange: one of them is none.
    """
    return _area(area) * within("height", height, 0.1, 5, "m")


def code(area: float) -> Code:
    """Return the code's figures for a floor area, m2.

    Raises:
        NotFinite, OutOfRange: outside 1 to 10,000 m2.
    """
    _area(area)
    return Code(area * VENT_SHARE, area * VENT_SHARE_COVERED, area * EXHAUST)


def fan_for_changes(changes: float, space: float) -> float:
    """Return the fan, m3/s, that changes the air of a space (m3) so often (1/s, up to 60 an hour).

    Raises:
        NotFinite, OutOfRange: the rate is none.
    """
    return within("changes", changes * 3600, 0, 60, "ach") / 3600 * space


def fan_for_source(
    source: float, target: float, temp: float, outside: Air, outside_doubt: float
) -> Fan:
    """Return the fan that holds a space at a humidity while a source wets it.

    Args:
        source: water that comes in, kg/s, up to 1,000 kg a day.
        target: the relative humidity to hold, 0.01 to 1.
        temp: of the space, degC.
        outside: the air that would come in.
        outside_doubt: of its humidity ratio, kg/kg.

    Raises:
        NotFinite, OutOfRange: one of them is none.
    """
    within("source", source * DAY, 0, 1000, "kg/d")
    held = from_humidity(temp, target, outside.pressure)

    def flow(margin: float) -> float:
        return source * held.volume / margin if margin > 0 else math.inf

    margin = held.ratio - outside.ratio
    return Fan(flow(margin), flow(margin + outside_doubt), flow(margin - outside_doubt))


def days(
    water: float, flow: float, leaving: Air, margin: float, doubt: float
) -> tuple[float, float]:
    """Return the least and the most days in which a fan carries off an amount of water.

    The air inside dries as the water goes, and the removal with it, so the least is a bound and
    the true time is longer. inf where the fan may carry off nothing.

    Args:
        water: kg, up to 100,000.
        flow: of the fan, m3/s.
        leaving: the inside air.
        margin: kg/kg, as `outside.compare` has it.
        doubt: of the margin, kg/kg.

    Raises:
        NotFinite, OutOfRange: one of them is none.
    """
    within("water", water, 0, 100_000, "kg")
    rates = [removal(flow, leaving, margin + side * doubt) for side in (1, -1)]
    fast, slow = (water / (rate * DAY) if rate > 0 else math.inf for rate in rates)
    return fast, slow
