/* SPDX-License-Identifier: Apache-2.0
 *
 * The question most tests of path ask: 9:16 out of 5760x4320 at 25 frames a second, nothing enlarged.
 */
#ifndef TW_TESTS_PATH_HAND_H
#define TW_TESTS_PATH_HAND_H

#include <tallwide/path.h>

static inline tw_path_job job_of(const tw_path_region *regions, size_t count, int64_t frames)
{
    return (tw_path_job){.frames = frames,
                         .fps = 25,
                         .source = {5760, 4320},
                         .delivery = {1080, 1920},
                         .squeeze = 1,
                         .max_scale = 1,
                         .regions = regions,
                         .region_count = count};
}

#endif
