"""The program's own lesson for each skill, so that the first screen need not read them all.

A test holds the table to the heads of the lessons, and prints what it is to be.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

# By the code of the skill: the number and the title of the lesson that is for it.
LESSON_FOR: Mapping[str, tuple[int, str]] = MappingProxyType({
    "S01": (1, "What one capacitor does"),
    "S02": (2, "Charge, p.d. and capacitance"),
    "S03": (3, "Micro, nano, pico"),
    "S04": (4, "Figures, and how to set out a line"),
    "S05": (5, "Points and wires"),
    "S06": (6, "Parallel sets and chains"),
    "S07": (5, "Points and wires"),
    "S08": (7, "What a parallel set shares"),
    "S09": (8, "What a chain shares"),
    "S10": (9, "Adding in parallel"),
    "S11": (10, "Two in series"),
    "S12": (11, "Longer chains, and bounds"),
    "S13": (11, "Longer chains, and bounds"),
    "S14": (12, "One step at a time"),
    "S15": (12, "One step at a time"),
    "S16": (13, "What may be left out"),
    "S17": (13, "What may be left out"),
    "S18": (14, "Back from the whole to its parts"),
    "S19": (14, "Back from the whole to its parts"),
    "S20": (14, "Back from the whole to its parts"),
    "S21": (15, "Dividing a p.d., dividing a charge"),
    "S22": (15, "Dividing a p.d., dividing a charge"),
    "S23": (16, "Several levels, and closing checks"),
    "S24": (17, "The energy of one capacitor"),
    "S25": (18, "Energy in a network"),
    "S26": (16, "Several levels, and closing checks"),
    "S27": (19, "A missing capacitor"),
    "S28": (21, "The greatest safe supply"),
    "S29": (22, "What is held fixed"),
    "S30": (23, "Area, gap and filling"),
    "S31": (24, "Layers, and fillings side by side"),
    "S32": (25, "Joining like to like"),
    "S33": (26, "Joining crossed"),
    "S34": (27, "Where the energy goes"),
    "S35": (28, "When nothing can be combined"),
    "S36": (29, "Equal potentials"),
    "S37": (30, "Charge balance at one point"),
    "S38": (31, "Charge balance at two points"),
    "S39": (32, "Star and triangle"),
    "S40": (4, "Figures, and how to set out a line"),
})
