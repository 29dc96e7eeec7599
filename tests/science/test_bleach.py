"""Bleach in water against published tables."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from siltline.science.bleach import amount, batch, hold_to_label, mix, parts_for
from siltline.science.faults import Contradiction, NotFinite, OutOfRange

GALLON = 231 * 0.0254**3  # US, NIST SP 811
CUP, TBSP, TSP = GALLON / 16, GALLON / 256, GALLON / 768


# ppm as health departments reckon, label % x share, for doses they publish: CDC (1 cup a gallon;
# 1 cup for 5 gallons; 1 tablespoon a gallon), Washington DOH (3/4 cup a gallon), LSU AgCenter (1/2
# cup), FEMA and Red Cross 1992 (1/4 cup). The doses were read there; the ppm is arithmetic.
@pytest.mark.parametrize(
    ("bleach", "water", "ppm"),
    [
        (0.75 * CUP, GALLON, {5.25: 2351, 6: 2687, 7.5: 3358, 8.25: 3694}),
        (CUP, GALLON, {5: 2941, 5.25: 3088, 6: 3529, 7.5: 4412, 8.25: 4853}),
        (CUP / 2, GALLON, {5.25: 1591, 6: 1818, 7.5: 2273, 8.25: 2500}),
        (CUP / 3, GALLON, {5.25: 1071, 6: 1224, 7.5: 1531, 8.25: 1684}),
        (CUP / 4, GALLON, {5: 769, 5.25: 808, 6: 923, 8.25: 1269}),
        (CUP, 5 * GALLON, {5: 617, 5.25: 648, 6: 741, 8.25: 1019}),
        (TBSP, GALLON, {5: 195, 5.25: 204, 6: 233, 8.25: 321}),
        (TSP, GALLON, {5: 65, 5.25: 68, 6: 78, 8.25: 107}),
    ],
)
def test_ppm_by_the_label(bleach: float, water: float, ppm: dict[float, int]) -> None:
    for percent, told in ppm.items():
        assert 1e6 * mix(percent / 100, bleach, water).label == pytest.approx(told, abs=0.6)


# With the density of bleach (1.160 at 120 g/L, powellfab.com, read): NaOCl and available chlorine.
@pytest.mark.parametrize(
    ("percent", "hypochlorite", "available"),
    [(5.25, 2533, 2412), (6, 2924, 2785), (7.5, 3729, 3552), (8.25, 4143, 3946)],
)
def test_milligrams_in_a_litre(percent: float, hypochlorite: int, available: int) -> None:
    made = mix(percent / 100, 0.75 * CUP, GALLON)
    assert 1000 * made.hypochlorite == pytest.approx(hypochlorite, abs=2)
    assert 1000 * made.available == pytest.approx(available, abs=2)


# Molar masses of the IUPAC: NaOCl 74.4422, Cl2 70.906.
def test_available_chlorine_is_the_share_of_chlorine_that_the_molar_masses_give() -> None:
    made = mix(0.06, 0.1, 2)
    assert made.available / made.hypochlorite == pytest.approx(70.906 / 74.4422)


# CDC, Chlorine Disinfectant Solutions (cdc.gov/hai, read): water parts = stock % / target % - 1;
# WHO 2014, Annex G (read): 5 % stock 1 + 99 makes 0.05 % = 500 ppm, 2.5 % stock 2 + 98.
@pytest.mark.parametrize(
    ("percent", "target", "parts"), [(3.5, 5000, 6), (5, 1000, 49), (5, 500, 99), (2.5, 500, 49)]
)
def test_water_for_the_labels_ppm(percent: float, target: float, parts: float) -> None:
    found, by_weight = parts_for(percent / 100, target / 1e6)
    assert found == pytest.approx(parts)
    # the other convention: density adds a few percent, chlorine's share of NaOCl takes 5 % off
    assert by_weight == pytest.approx(parts, rel=0.06)


@given(st.floats(0.02, 0.15), st.floats(100, 5000))
def test_water_and_ppm_lead_back_to_each_other(strength: float, ppm: float) -> None:
    by_label, by_weight = parts_for(strength, ppm / 1e6)
    if by_label <= 5000:
        assert 1e6 * mix(strength, 1e-3, 1e-3 * by_label).label == pytest.approx(ppm)
        assert 1000 * mix(strength, 1e-3, 1e-3 * by_weight).available == pytest.approx(ppm)


@given(st.floats(1e-3, 5), st.floats(1, 1000))
def test_a_batch_adds_up_and_keeps_its_parts(whole: float, parts: float) -> None:
    bleach, water = batch(whole, parts)
    assert bleach + water == pytest.approx(whole)
    assert water / bleach == pytest.approx(parts)


def test_an_area_takes_what_the_label_says_it_covers() -> None:
    assert amount(400 * 0.09290304, 400 * 0.09290304 / GALLON) == pytest.approx(GALLON)


def test_a_mix_that_the_label_does_not_name_is_refused() -> None:
    made = mix(0.0825, 0.75 * CUP, GALLON)  # 3,694 ppm: the same spoon, a stronger bleach
    with pytest.raises(OutOfRange, match=r"3694 ppm by the label's percentage, .* says 2400 ppm"):
        hold_to_label(made, 0.0024)
    hold_to_label(mix(0.0525, 0.75 * CUP, GALLON), 0.0024)  # 2,351: within a spoon's error


def test_what_is_refused_and_by_what_name() -> None:
    with pytest.raises(OutOfRange, match="strength of the bleach cannot be 600 %"):
        mix(6, CUP, GALLON)
    with pytest.raises(OutOfRange, match=r"strength of the bleach cannot be 0\.06 %"):
        mix(0.0006, CUP, GALLON)
    with pytest.raises(Contradiction, match=r"more bleach than water: .* swapped"):
        mix(0.06, GALLON, CUP)
    with pytest.raises(Contradiction, match="40000 ppm cannot be made from bleach of 6 %"):
        parts_for(0.06, 0.04)
    with pytest.raises(OutOfRange, match="the ppm of the label cannot be 5e"):
        parts_for(0.06, 500)
    with pytest.raises(OutOfRange, match="the coverage of the label"):
        amount(10, 1)
    with pytest.raises(OutOfRange, match="the batch cannot be 0 m3"):
        batch(0, 10)
    with pytest.raises(NotFinite, match="the volume of water is inf"):
        mix(0.06, CUP, math.inf)
