#!/usr/bin/env python3
"""Writes every scenario of this folder: a recording made of nothing but the
facts of the trade, the sheet it is held against, and what it must yield.

    python3 make.py [FOLDER]      (standard library only, python 3.11 or later)

What a scenario expects is written down beside it, by hand, with the rule that it
rests on. No line here comes from the program that is put to the test.
"""

import sys

sys.dont_write_bytecode = True

import pathlib

import about_air
import about_damage
import about_degrees
import about_drills
import about_edges
import about_exposure
import about_failsafe
import about_felt
import about_flats
import about_gain
import about_gain_series
import about_gestures
import about_holds
import about_jumps
import about_late
import about_learning
import about_levelling
import about_line_faults
import about_listening
import about_losses
import about_marks
import about_memory
import about_modes
import about_outputs
import about_papers
import about_periods
import about_phone
import about_rails
import about_range
import about_righting
import about_silence
import about_sittings
import about_soak
import about_spikes
import about_stir
import about_switches
import about_taps
import about_tilts
import about_travels

CHAPTERS = (
    about_silence, about_periods, about_damage, about_air, about_failsafe,
    about_switches, about_modes, about_jumps, about_taps, about_sittings,
    about_gestures, about_rails, about_flats, about_spikes, about_holds, about_gain, about_gain_series, about_marks, about_losses,
    about_outputs, about_soak, about_exposure, about_late, about_drills, about_tilts, about_degrees, about_edges, about_felt, about_range, about_stir, about_listening,
    about_line_faults,
    about_travels,
    about_righting,
    about_memory,
    about_phone,
    about_learning,
    about_levelling,
    about_papers,
)


def main():
    folder = pathlib.Path(sys.argv[1] if len(sys.argv) > 1 else pathlib.Path(__file__).parent)
    names = set()
    for chapter in CHAPTERS:
        for scenario in chapter.scenarios():
            assert scenario.name not in names, "two scenarios of one name"
            names.add(scenario.name)
            scenario.write(folder)


if __name__ == "__main__":
    main()
