"""The four corners seen from above, how propellers turn there, and what a motor there does.

X frame, axes x forward, y right, z down; roll + right side down, pitch + nose up, yaw + nose right.
A rotor's reaction on the frame is against its spin, so a counter-clockwise one turns the nose
right. Derivation: torque = r × F, reaction = −spin (R. Mahony, V. Kumar, P. Corke, 'Multirotor
Aerial Vehicles', IEEE RAM 19(3) 2012 pp. 20-32, from memory).
"""

CORNERS = ("FL", "FR", "RL", "RR")
PLACES = {"FL": "front left", "FR": "front right", "RL": "rear left", "RR": "rear right"}
TURNS = {"cw": "clockwise", "ccw": "counter-clockwise"}

# What a push at the corner does: (roll, pitch), each at unit size.
LEVER = {"FL": (1, 1), "FR": (-1, 1), "RL": (1, -1), "RR": (-1, -1)}
REACTION = {"cw": -1, "ccw": 1}
AXES = ("roll", "pitch", "yaw")

# Common practice, no source: diagonal pairs turn alike, neighbours against each other.
PLANS: dict[str, dict[str, str]] = {
    "props-in": {"FL": "cw", "FR": "ccw", "RL": "ccw", "RR": "cw"},
    "props-out": {"FL": "ccw", "FR": "cw", "RL": "cw", "RR": "ccw"},
}
OTHER_PLAN = {"props-in": "props-out", "props-out": "props-in"}
