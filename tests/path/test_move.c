/* SPDX-License-Identifier: Apache-2.0 */
#include "path/sound.h"

#include "path/motions.h"
#include "support/support.h"

static void twelve_motions(void **state)
{
    tw_arena *arena = tw_test_arena(state);
    for (size_t i = 0; i < motion_count; i++) {
        tw_row(i, motions[i].name);
        tw_path_job job;
        tw_path_result r;
        motion_job(arena, i, &job);
        tw_path_solve(arena, &job, &r);
        if (r.fewest - r.eliminated > motions[i].most_fewest || r.key_count > motions[i].most_keys)
            fail_msg("%s: %zu fewest, %zu keys", motions[i].name, r.fewest, r.key_count);
        size_t lost = lost_frames(&job, &r);
        if (motions[i].held && !job.regions[0].detector && lost > 0)
            fail_msg("%s: %zu frames lost", motions[i].name, lost);
    }
}

TW_SUITE(move)
{
    const struct CMUnitTest tests[] = {TW_TEST(twelve_motions)};
    return tw_run("path/move", tests);
}
