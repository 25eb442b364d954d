"""Putts tried and made in two eras, and what was fitted to them.

Published fits: Gelman (2019), Model building and expansion for golf putting (Stan case study).
"""

from __future__ import annotations

import numpy as np

# Berry (1995) Statistics: A Bayesian Perspective, used in Gelman and Nolan (2002) Teaching Statistics 24:93.
# Feet, tries, made. VERIFIED (stan-dev/example-models knitr/golf/golf1.data.R, commit e2f94424396b).
BERRY_1995 = np.array(
    [
        [2, 1443, 1346],
        [3, 694, 577],
        [4, 455, 337],
        [5, 353, 208],
        [6, 272, 149],
        [7, 256, 136],
        [8, 240, 111],
        [9, 217, 69],
        [10, 200, 67],
        [11, 237, 75],
        [12, 202, 52],
        [13, 192, 46],
        [14, 174, 54],
        [15, 167, 28],
        [16, 201, 27],
        [17, 195, 31],
        [18, 191, 33],
        [19, 147, 20],
        [20, 152, 24],
    ],
    dtype=float,
).T

# Broadie M. (2018) Two simple putting models in golf. Feet, tries, made.
# VERIFIED (stan-dev/example-models knitr/golf/golf_data_new.txt, commit 464230b0af7e).
BROADIE_2018 = np.array(
    [
        [0.28, 45198, 45183],
        [0.97, 183020, 182899],
        [1.93, 169503, 168594],
        [2.92, 113094, 108953],
        [3.93, 73855, 64740],
        [4.94, 53659, 41106],
        [5.94, 42991, 28205],
        [6.95, 37050, 21334],
        [7.95, 33275, 16615],
        [8.95, 30836, 13503],
        [9.95, 28637, 11060],
        [10.95, 26239, 9032],
        [11.95, 24636, 7687],
        [12.95, 22876, 6432],
        [14.43, 41267, 9813],
        [16.43, 35712, 7196],
        [18.44, 31573, 5290],
        [20.44, 28280, 4086],
        [21.95, 13238, 1642],
        [24.39, 46570, 4767],
        [28.40, 38422, 2980],
        [32.39, 31641, 1996],
        [36.39, 25604, 1327],
        [40.37, 20366, 834],
        [44.38, 15977, 559],
        [48.37, 11770, 311],
        [52.36, 8708, 231],
        [57.25, 8878, 204],
        [63.23, 5492, 103],
        [69.18, 3087, 35],
        [75.19, 1742, 24],
    ]
).T
BERRY_SOURCE = "Berry (1995) Statistics: A Bayesian Perspective, used in Gelman and Nolan (2002)"
BROADIE_SOURCE = "Broadie (2018) Two simple putting models in golf"
STUDY = "Gelman (2019) Model building and expansion for golf putting, Stan case study"
#: Tries and makes in all, 2018; share from 6 ft in 1988-89 (SI of April 1989). VERIFIED.
TRIES_2018, MADE_2018, SIX_FEET_1989 = 1_253_196, 766_741, 0.548

#: Angle sd of the angle-only form, 1995: radians VERIFIED, degrees MEMORY.
ANGLE_ONLY_1995_RAD, ANGLE_ONLY_1995_DEG = 0.0267, 1.53
#: Angle sd (degrees, MEMORY), distance sd (VERIFIED) and extra error (MEMORY) of the form with distance, 2018.
ANGLE_2018_DEG, DISTANCE_2018, EXTRA_2018 = 1.02, 0.080, 0.003
#: Root mean square and largest residual of that form. COMPUTED.
RMS_2018, LARGEST_2018 = 0.0035, 0.008
