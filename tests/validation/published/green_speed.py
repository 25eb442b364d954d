"""The hole and the green: capture speeds and kinematics by stimpmeter reading."""

from __future__ import annotations

CAPTURE_SOURCE = "Penner (2002) Can. J. Phys. 80:83 with the maximum of Holmes (1991) Am. J. Phys. 59:129"
#: Hole 108 mm across, Rules of Golf; ball at least 1.680 in, Equipment Rules. VERIFIED secondary.
HOLE_ACROSS_M, BALL_ACROSS_M = 0.108, 0.04267
#: Speed at which a ball that may fall freely still drops, m/s. COMPUTED.
FREE_FALL_SPEED = 1.314

# Greatest speed at the hole by offset / hole radius. Penner (2002) Can. J. Phys. 80:83 with the maximum of
# Holmes (1991) Am. J. Phys. 59:129: formula MEMORY, values COMPUTED from it.
CAPTURE_SPEED = [
    (0.0, 1.63),
    (0.1, 1.614),
    (0.2, 1.565),
    (0.3, 1.483),
    (0.4, 1.369),
    (0.5, 1.222),
    (0.6, 1.043),
    (0.7, 0.831),
    (0.8, 0.587),
    (0.9, 0.31),
]

# Stimpmeter reading (ft), deceleration (m/s^2), feet past the hole at 1.63 and 1.314 m/s, speed at the hole
# (m/s) for 3 ft and 17 in past. COMPUTED from a release at 1.83 m/s (6.00 ft/s, VERIFIED secondary).
GREEN_SPEED = [
    (7, 0.7848, 5.55, 3.61, 1.198, 0.823),
    (8, 0.6867, 6.35, 4.12, 1.121, 0.770),
    (9, 0.6104, 7.14, 4.64, 1.057, 0.726),
    (10, 0.5494, 7.93, 5.16, 1.002, 0.689),
    (11, 0.4994, 8.73, 5.67, 0.956, 0.657),
    (12, 0.4578, 9.52, 6.19, 0.915, 0.629),
    (13, 0.4226, 10.31, 6.70, 0.879, 0.604),
]
