"""The small sheets of the scenarios."""

HEAD = "sheet: 1\nmodel: By hand\n"

PLAIN = HEAD + """\
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
"""

# What is declared of a long run, with limits.
SOAK = PLAIN + "soak: {distance: 3 m, mode: off, outputs: unplugged, at_most_one_in: 10h, missed_at_most: \"1 %\"}\n"
SOAK_TWO = SOAK.replace("channels:", "taps: {main: {kind: bus, carries: heard}, second: {kind: bus, carries: heard}}\nchannels:", 1)

TWO_TAPS = HEAD + """\
taps: {main: {kind: bus, carries: heard}, second: {kind: bus, carries: heard}}
channels:
  11: {name: inner, kind: switch, positions: {back: 988, middle: 1500, front: 2012}}
"""

SWITCHES = HEAD + """\
channels:
  11: {name: inner, kind: switch, positions: {back: 988, middle: 1500, front: 2012}}
  13: {name: outer, kind: switch, positions: {back: 988, front: 2012}}
  15: {name: teach, kind: momentary, rest: 988, pressed: 2012}
"""

ONE_SWITCH = HEAD + """\
channels:
  11: {name: inner, kind: switch, positions: {back: 988, middle: 1500, front: 2012}}
"""

SPARE = HEAD + """\
channels:
  8: {name: spare, kind: momentary, rest: 988, pressed: 2012}
mark_button: {channel: spare, when: pressed}
"""

# What a receiver is to do without a signal.
LOSSES = HEAD + """\
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  3: {name: throttle, kind: throttle, cut: 988, idle: 1010, full: 2012}
  11: {name: inner, kind: switch, positions: {back: 988, middle: 1500, front: 2012}}
stabiliser:
  windows: {from: guess}
  modes:
    damping:      {when: [{inner: [0, 1300]}]}
    plain:        {when: [{inner: [1300, 1700]}]}
    upright:      {when: [{inner: [1700, 3000]}]}
failsafe: {flag: required, within: 1.5s, heard: {default: hold, throttle: {at_most: 1000}, inner: middle}}
"""

# The same, heard by two receivers.
TWO_LOSSES = LOSSES.replace("channels:", "taps: {main: {kind: bus, carries: heard}, second: {kind: bus, carries: heard}}\nchannels:", 1)

DIGITAL = HEAD + """\
channels:
  17: {name: lights, kind: switch, positions: {lit: 2012, dark: 988}}
  18: {name: horn, kind: momentary, rest: 988, pressed: 2012}
"""

# Three windows of one channel, three modes.
ONE_CHANNEL = HEAD + """\
channels:
  11: {name: inner, kind: knob, ends: {low: 988, high: 2012}}
stabiliser:
  windows: {from: guess}
  modes:
    damping:      {when: [{inner: [1000, 1300]}]}
    plain:        {when: [{inner: [1300, 1700]}]}
    upright:      {when: [{inner: [1700, 2000]}]}
"""

# Nine cells of two channels, of which five are modes.
TWO_CHANNELS = HEAD + """\
channels:
  11: {name: inner, kind: knob, ends: {low: 988, high: 2012}}
  13: {name: outer, kind: knob, ends: {low: 988, high: 2012}}
stabiliser:
  windows: {from: guess}
  modes:
    off:        {when: [{inner: [800, 1300], outer: [800, 1300]}]}
    stabilised: {when: [{inner: [1300, 1700], outer: [800, 1300]}]}
    upright:    {when: [{inner: [1700, 2200], outer: [800, 1300]}]}
    hold-course: {when: [{inner: [1300, 1700], outer: [1700, 2200]}]}
    hover:      {when: [{inner: [1700, 2200], outer: [1700, 2200]}]}
"""

FAILSAFE = HEAD + """\
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
failsafe: {flag: required, within: 1.5s, heard: {default: hold}}
"""

# A three-position switch moved out of its centre and back, and a momentary one.
GESTURES = HEAD + """\
channels:
  11: {name: inner, kind: switch, positions: {back: 988, middle: 1500, front: 2012}}
  13: {name: outer, kind: switch, positions: {back: 988, middle: 1500, front: 2012}}
  15: {name: teach, kind: momentary, rest: 988, pressed: 2012}
gestures:
  centre-out: {channel: inner, from: middle, times: 3, within: 3s, allowed: never}
  end-to-end: {channel: outer, from: back, to: front, times: 2, within: 3s, allowed: never}
  press: {channel: teach, from: rest, to: pressed, times: 3, within: 3s, allowed: in-drill}
"""

STICKS = HEAD + """\
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  3: {name: throttle, kind: throttle, cut: 988, full: 2012}
"""

HEARTBEAT = PLAIN + "heartbeat: {channel: 16}\n"

GAIN = HEAD + """\
channels:
  9: {name: gain, kind: knob, ends: {anticlockwise: 988, clockwise: 2012}}
gain: {channel: gain, law: sign-selects, zero: 1500, full: [988, 2012]}
"""

# No sheet: it listens.
LISTENING = HEAD + """\
channels: {}
"""

# A bus and servo leads.
LEADS = HEAD + """\
taps: {main: {kind: bus, carries: heard}, leads: {kind: pulses}}
channels:
  1: {name: aileron, kind: stick, ends: {left: 988, right: 2012}, neutral: 1500}
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
  3: {name: throttle, kind: throttle, drives: motor, cut: 988, full: 2012}
outputs:
  1: {surface: aileron, moved_by: {aileron: 1.0}}
  2: {surface: elevator, moved_by: {elevator: 1.0}}
  3: {surface: motor, moved_by: {throttle: 1.0}}
"""

# The same with a failsafe that is wanted.
LEADS_FAILSAFE = LEADS + "failsafe: {flag: required, within: 1.5s, heard: {default: hold, throttle: 988}, leads: {motor: stops}}\n"

# The same with two modes.
LEADS_MODES = LEADS.replace("outputs:", """\
  11: {name: inner, kind: switch, positions: {back: 988, front: 2012}}
stabiliser:
  windows: {from: guess}
  modes:
    "off":  {when: [{inner: [0, 1500]}]}
    damping: {when: [{inner: [1500, 3000]}]}
outputs:""")

# Narrow servo pulses (from memory: near 760 us) beside a standard one.
LEADS_NARROW = HEAD + """\
taps: {main: {kind: bus, carries: heard}, leads: {kind: pulses}}
scale: {counts: [0, 2047], us: [400, 2447]}
channels:
  1: {name: aileron, kind: stick, ends: {left: 520, right: 1000}, neutral: 760}
  2: {name: elevator, kind: stick, ends: {back: 2012, forward: 988}, neutral: 1500}
outputs:
  1: {surface: aileron, moved_by: {aileron: 1.0}}
  2: {surface: elevator, moved_by: {elevator: 1.0}}
"""

# How far outputs are wanted to go. The channels' ends are 988 and 2012 us.
LEADS_TRAVEL = LEADS.replace("{aileron: 1.0}}", "{aileron: 1.0}, travel: {from: 1080, to: 1920}}").replace(
    "{elevator: 1.0}}", "{elevator: 1.0}, travel: {from: 988, to: 2012}}").replace(
    "{throttle: 1.0}}", "{throttle: 1.0}, travel: {from: 960, to: 2040}}")

# Jumps of 20 us at most between two modes, and a switch that chooses none.
LEADS_SHIFT = LEADS_MODES.replace("  modes:", "  neutral_shift_at_most: 20 us\n  modes:").replace(
    "[0, 1500]}]}", "[0, 1500]}], wanted_at: [{inner: back}]}").replace("[1500, 3000]}]}", "[1500, 3000]}], wanted_at: [{inner: front}]}").replace(
    "stabiliser:", "  12: {name: phase, kind: switch, positions: {one: 988, two: 2012}}\nstabiliser:")
