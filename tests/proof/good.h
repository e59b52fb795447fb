/* SPDX-License-Identifier: Apache-2.0
 *
 * A proof that found nothing wrong.
 */
#ifndef TW_TESTS_PROOF_GOOD_H
#define TW_TESTS_PROOF_GOOD_H

#include <tallwide/proof.h>

static const tw_proof good = {
    .delivery = {"tall", 4},
    .shots = 42,
    .not_framed = 3,
    .moving = 9,
    .keys = 61,
    .frames = 5310,
    .must_frames = 4100,
    .must_held_frames = 4100,
    .max_scale = 0.8888888888,
    .peak_speed = 0.142857,
    .peak_accel = 0.8,
    .cut_unchanged = true,
    .ok = true,
};

#endif
